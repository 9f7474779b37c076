import { useId, useMemo, useReducer, useState } from 'react';
import { fingersByStroke, frettingPath } from '../../../lib/hands/fretting';
import type { JudgeContext, Judgement } from '../../../lib/judge';
import { judge, problemsOf } from '../../../lib/judge';
import type { Measure, Stroke } from '../../../lib/tab/measure';
import type { Ticks } from '../../../lib/units';
import { describe } from '../../../lib/words/describe';
import { HearDraft } from '../sound/hear-variant';
import { Tab } from '../tab/tab';
import { afterAct, draftOf, obstaclesOf, strokeAtSpot } from './draft';
import { Families } from './families';
import { Grid } from './grid';
import { Ideas } from './ideas';
import { Judgements } from './judgements';
import { MelodyMarks } from './melody';
import { Tools } from './tools';

/** Where a variant of one measure is made: a grid to edit by hand, embellishments and ideas to take, and what a teacher would say. */
export function Workbench({
  context,
  from,
  proposed,
  full,
  propose,
  setPlain,
  markMelody,
  close,
}: {
  readonly context: JudgeContext;
  /** What it starts from: the plain measure or somebody's variant. */
  readonly from: readonly Stroke[];
  readonly proposed: readonly { readonly strokes: readonly Stroke[] }[];
  /** Have I put forward as much as counts? */
  readonly full: boolean;
  readonly propose: (strokes: readonly Stroke[], note: string) => void;
  /** For a leader: makes the draft the plain measure. */
  readonly setPlain: ((strokes: readonly Stroke[]) => void) | undefined;
  /** For a leader: says which strokes of the plain measure are the tune. */
  readonly markMelody: ((melody: readonly Ticks[]) => void) | undefined;
  readonly close: () => void;
}) {
  const { plain, neck, tempo } = context;
  const [draft, act] = useReducer(afterAct, undefined, () =>
    draftOf({ ...plain, strokes: from }, neck),
  );
  const [note, setNote] = useState('');
  const [lit, setLit] = useState<Judgement['id']>();
  const [fingers, setFingers] = useState(false);
  const reasons = useId();
  const { measure } = draft;
  const { judgements } = useMemo(() => judge(measure, context), [measure, context]);
  const wrong = useMemo(
    () =>
      new Set(
        judgements.flatMap(({ id, verdict, strokes }) =>
          (verdict === 'no' && (id === 'fits' || id === 'playable')) || id === lit ? strokes : [],
        ),
      ),
    [judgements, lit],
  );
  const shownFingers = useMemo(() => {
    const path = fingers ? frettingPath([measure], neck, tempo) : undefined;
    return path?.ok ? fingersByStroke(path.value) : undefined;
  }, [fingers, measure, neck, tempo]);
  const already = useMemo(() => proposed.map(({ strokes }) => strokes), [proposed]);
  const obstacles = obstaclesOf(draft, plain, proposed, full);
  const blocked = judgements.some(
    ({ id, verdict }) => verdict === 'no' && (id === 'fits' || id === 'playable'),
  );
  const stroke = strokeAtSpot(draft);
  const words = describe(measure, neck);
  const take = (taken: Measure) => act({ kind: 'replace', measure: taken });

  return (
    <div className="bench">
      <div className="bench-hand">
        <div className="bench-scroll">
          <Grid draft={draft} warned={wrong} act={act} />
        </div>
        <Tab
          measure={measure}
          label={words}
          options={{ warnAt: [...wrong], ...(shownFingers ? { fingers: shownFingers } : {}) }}
        />
        <HearDraft context={context} draft={measure} />
        <label className="flex items-center gap-2">
          <input
            type="checkbox"
            checked={fingers}
            onChange={(event) => setFingers(event.target.checked)}
          />
          show the left hand's fingers
        </label>
        <p className="text-soft">{words}</p>
        <Judgements judgements={judgements} lit={lit} light={setLit} />
        <Tools draft={draft} act={act} />
        <label className="grid gap-1">
          <span>A word about it, if you like</span>
          <input
            className="field"
            value={note}
            maxLength={400}
            onChange={(event) => setNote(event.target.value)}
          />
        </label>
        <ul id={reasons} aria-live="polite" className="reasons">
          {blocked
            ? obstacles.length > 0 && (
                <li>It cannot be put forward before what is marked ✗ above is mended.</li>
              )
            : obstacles.map((reason) => <li key={reason}>{reason}</li>)}
        </ul>
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
          {setPlain && (
            <button
              type="button"
              className="button button-quiet"
              aria-disabled={problemsOf(measure, neck).length > 0}
              onClick={() => problemsOf(measure, neck).length === 0 && setPlain(measure.strokes)}
            >
              Make it the plain measure
            </button>
          )}
          <button type="button" className="button button-quiet" onClick={close}>
            Leave it
          </button>
        </div>
        {markMelody && (
          <MelodyMarks plain={plain} marked={context.melody ?? []} mark={markMelody} />
        )}
      </div>
      <div className="bench-families">
        <h4>
          {stroke === undefined
            ? 'Choose a stroke to embellish'
            : `What can be done at stroke ${stroke + 1}`}
        </h4>
        {stroke !== undefined && (
          <Families measure={measure} stroke={stroke} neck={neck} take={take} />
        )}
        <Ideas context={context} already={already} take={take} />
      </div>
    </div>
  );
}
