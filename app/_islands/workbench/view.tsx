import { useId, useMemo, useReducer, useState } from 'react';
import { problemsOf } from '../../../lib/judge';
import type { Measure, Stroke } from '../../../lib/tab/measure';
import type { Neck } from '../../../lib/tuning';
import { describe } from '../../../lib/words/describe';
import { Tab } from '../tab/tab';
import { afterAct, draftOf, obstaclesOf, strokeAtSpot } from './draft';
import { Families } from './families';
import { Grid } from './grid';
import { Tools } from './tools';

/** Where a variant of one measure is made: a grid to edit by hand, embellishments to take, and what stands in the way. */
export function Workbench({
  plain,
  from,
  neck,
  proposed,
  propose,
  close,
}: {
  readonly plain: Measure;
  /** What it starts from: the plain measure or somebody's variant. */
  readonly from: readonly Stroke[];
  readonly neck: Neck;
  readonly proposed: readonly { readonly strokes: readonly Stroke[] }[];
  readonly propose: (strokes: readonly Stroke[], note: string) => void;
  readonly close: () => void;
}) {
  const [draft, act] = useReducer(afterAct, undefined, () =>
    draftOf({ ...plain, strokes: from }, neck),
  );
  const [note, setNote] = useState('');
  const reasons = useId();
  const { measure } = draft;
  const problems = useMemo(() => problemsOf(measure, neck), [measure, neck]);
  const warned = useMemo(
    () => new Set(problems.flatMap(({ where }) => where.stroke ?? [])),
    [problems],
  );
  const obstacles = obstaclesOf(draft, plain, proposed);
  const stroke = strokeAtSpot(draft);
  const words = describe(measure, neck);

  return (
    <div className="bench">
      <div className="bench-hand">
        <div className="bench-scroll">
          <Grid draft={draft} warned={warned} act={act} />
        </div>
        <Tools draft={draft} act={act} />
        <Tab measure={measure} label={words} options={{ warnAt: [...warned] }} />
        <p className="text-soft">{words}</p>
        <ul id={reasons} aria-live="polite" className="reasons">
          {obstacles.map((reason) => (
            <li key={reason}>{reason}</li>
          ))}
          {obstacles.length === 0 && <li data-good>It adds up and the hand alternates.</li>}
        </ul>
        <label className="grid gap-1">
          <span>A word about it, if you like</span>
          <input
            className="field"
            value={note}
            maxLength={400}
            onChange={(event) => setNote(event.target.value)}
          />
        </label>
        <div className="flex flex-wrap gap-2">
          <button
            type="button"
            className="button button-first"
            aria-disabled={obstacles.length > 0}
            aria-describedby={reasons}
            onClick={() => obstacles.length === 0 && propose(measure.strokes, note)}
          >
            Put it forward
          </button>
          <button type="button" className="button button-quiet" onClick={close}>
            Leave it
          </button>
        </div>
      </div>
      <div className="bench-families">
        <h4>
          {stroke === undefined
            ? 'Choose a stroke to embellish'
            : `What can be done at stroke ${stroke + 1}`}
        </h4>
        {stroke !== undefined && (
          <Families
            measure={measure}
            stroke={stroke}
            neck={neck}
            take={(taken) => act({ kind: 'replace', measure: taken })}
          />
        )}
      </div>
    </div>
  );
}
