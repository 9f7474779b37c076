import type { Tune } from '../../../lib/tune';
import { SheetLines } from './line';
import type { PrintedPart } from './lines';
import { isKept } from './lines';

/** A part of the tune with its letter in the margin. */
export function SheetPart({
  tune,
  part,
  large,
}: {
  readonly tune: Tune;
  readonly part: PrintedPart;
  readonly large: boolean;
}) {
  return (
    <div className={`sheet-part ${isKept([part.measures], large) ? 'sheet-kept' : ''}`}>
      <h4>{part.letter}</h4>
      <div>
        <SheetLines tune={tune} measures={part.measures} large={large} />
      </div>
    </div>
  );
}
