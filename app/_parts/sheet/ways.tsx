import type { Board } from '../../../shared/board/schema';
import { SheetLines } from './line';
import { oneThingAtATime } from './one-thing';

/** A block for each embellishment: what it is, how it is done, and the same few measures with only that one. */
export function Ways({ board, large }: { readonly board: Board; readonly large: boolean }) {
  const { blocks, others } = oneThingAtATime(board);
  return (
    <>
      {blocks.map(({ family, measures }) => (
        <section key={family.id} className="sheet-block sheet-kept">
          <h3>
            {family.name} <span className="sheet-letter">{family.letter}</span>
          </h3>
          <p>{family.words}</p>
          <SheetLines tune={board.tune} large={large} measures={measures} />
        </section>
      ))}
      {others.length > 0 && (
        <p className="sheet-others">
          Nothing of these goes into the first measures at the level of this board:{' '}
          {others.map(({ name }) => name).join(', ')}.
        </p>
      )}
    </>
  );
}
