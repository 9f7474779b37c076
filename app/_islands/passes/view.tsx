'use client';

import { useCallback, useMemo, useState } from 'react';
import { measureOf } from '../../../lib/tune';
import type { MeasureId } from '../../../lib/units';
import { describe } from '../../../lib/words/describe';
import { strokesIn } from '../../../shared/board/plan';
import { measuresOf } from '../../../shared/board/plan-to-play';
import type { Board } from '../../../shared/board/schema';
import { measureNumbers, nameOf, variantsOf } from '../board/sights';
import { Line } from '../session/line';
import type { Me } from '../session/session';
import { useSession } from '../session/use-session';
import { Tab } from '../tab/tab';
import { passActsOf } from './acts';
import type { Place } from './grid';
import { PassGrid } from './grid';
import { HeardShares } from './heard';
import type { MadePasses } from './message';
import { Settings } from './settings';
import { changedCells } from './sights';
import { BareSpots } from './spots';
import { usePasses } from './use-passes';

type Acts = ReturnType<typeof passActsOf>;

/** The passes that the votes make, why each cell is what it is, and for a leader what to decide about them. */
export function PassesView({ me, rendered }: { readonly me: Me; readonly rendered: Board }) {
  const { state, session } = useSession(me, rendered);
  const { board } = state;
  const acts = useMemo(
    () => (session && me.role === 'lead' ? passActsOf(session) : undefined),
    [session, me.role],
  );
  const passes = usePasses(board);
  const { made, contradiction, progress } = passes;
  const [spots, setSpots] = useState(false);
  return (
    <div className="grid gap-5" data-live={state.live || undefined}>
      <Line state={state} session={session} />
      {acts && (
        <section className="sheet grid gap-3" aria-labelledby="decide">
          <h2 id="decide">You decide</h2>
          <Settings board={board} acts={acts} />
        </section>
      )}
      <div role="status" className="grid gap-2">
        {contradiction.map((words) => (
          <p key={words} className="reason">
            {words}
          </p>
        ))}
        {progress !== undefined && (
          <p className="flex items-center gap-3">
            <progress value={progress} max={1} aria-label="making the passes" /> Making the passes…
            <button type="button" className="button button-quiet" onClick={passes.stop}>
              Stop
            </button>
          </p>
        )}
        {made && <Standing board={board} made={made} acts={acts} />}
      </div>
      {made && (
        <>
          <div className="flex flex-wrap gap-2">
            <button
              type="button"
              className="button"
              aria-pressed={!spots}
              onClick={() => setSpots(false)}
            >
              what is played
            </button>
            <button
              type="button"
              className="button"
              aria-pressed={spots}
              onClick={() => setSpots(true)}
            >
              bare spots
            </button>
          </div>
          {spots ? (
            <BareSpots board={board} made={made} />
          ) : (
            <Laid board={board} made={made} acts={acts} />
          )}
          <HeardShares board={board} made={made} />
        </>
      )}
    </div>
  );
}

/** Whether these passes are the published ones, and how good they are. */
function Standing({
  board,
  made,
  acts,
}: {
  readonly board: Board;
  readonly made: MadePasses;
  readonly acts: Acts | undefined;
}) {
  const changed = changedCells(board.plan, made.plan);
  const held = board.orders.secretBallots && board.voting === 'open';
  return (
    <div
      className="flex flex-wrap items-center gap-3"
      data-testid="standing"
      data-changed={changed}
    >
      <p>
        {board.plan === undefined
          ? 'Nothing is published yet.'
          : changed === 0
            ? 'These are the published passes.'
            : `${changed} ${changed === 1 ? 'cell differs' : 'cells differ'} from the published passes, which are played until you publish these.`}{' '}
        {made.optimal
          ? 'No other order is better.'
          : `A better order could save at most ${made.gap} of ${made.cost} points.`}
        {made.unheardFamilies.length > 0 &&
          ` Proposed but not voted in: ${made.unheardFamilies.join(', ')}.`}
      </p>
      {held && (
        <p>Ballots are secret: these passes know only yours. Close the vote before you publish.</p>
      )}
      {acts && changed > 0 && !held && (
        <button
          type="button"
          className="button button-first"
          onClick={() => acts.publish(made.plan)}
        >
          Agreed: publish these passes
        </button>
      )}
    </div>
  );
}

/** The grid with what is to be said and done about the cell that is chosen. */
function Laid({
  board,
  made,
  acts,
}: {
  readonly board: Board;
  readonly made: MadePasses;
  readonly acts: Acts | undefined;
}) {
  const { plan } = made;
  const [first] = measuresOf(board);
  const [chosen, setChosen] = useState<Place>();
  const rows = plan.passes.length;
  const measure = chosen?.measure ?? first?.id ?? ('' as MeasureId);
  const at: Place = { pass: Math.min(chosen?.pass ?? 1, rows - 1), measure };
  const cellOf = ({ pass, measure: id }: Place) => plan.passes[pass]?.[id] ?? 'plain';
  const lockOf = ({ pass, measure: id }: Place) =>
    board.planning.locks.find(
      (one) => one.kind === 'cell' && one.pass === pass + 1 && one.measure === id,
    );
  const lock = (place: Place) =>
    acts?.lock([
      {
        pass: place.pass + 1,
        measure: place.measure,
        choice: lockOf(place) ? undefined : cellOf(place),
      },
    ]);
  const swap = (id: MeasureId, a: number, b: number) =>
    a !== b &&
    acts?.lock([
      { pass: a + 1, measure: id, choice: cellOf({ pass: b, measure: id }) },
      { pass: b + 1, measure: id, choice: cellOf({ pass: a, measure: id }) },
    ]);
  const isKeptPlain = (pass: number) =>
    board.planning.locks.some((one) => one.kind === 'plain-pass' && one.pass === pass + 1);
  const go = useCallback((place: Place) => setChosen(place), []);
  return (
    <>
      <PassGrid
        board={board}
        made={made}
        at={at}
        go={go}
        swap={acts && swap}
        lock={acts && lock}
        tools={(pass) =>
          acts && !(pass === 0 && board.planning.plainFirst) ? (
            <button
              type="button"
              className="button button-small"
              aria-pressed={isKeptPlain(pass)}
              onClick={() => acts.keepPlain(pass + 1, !isKeptPlain(pass))}
            >
              plain <span className="sr-only">pass {pass + 1}</span>
            </button>
          ) : null
        }
      />
      <Chosen
        board={board}
        made={made}
        at={at}
        acts={acts}
        locked={lockOf(at) !== undefined}
        lock={() => lock(at)}
        swap={(to) => {
          swap(at.measure, at.pass, to);
          setChosen({ ...at, pass: to });
        }}
      />
    </>
  );
}

function Chosen({
  board,
  made,
  at,
  acts,
  locked,
  lock,
  swap,
}: {
  readonly board: Board;
  readonly made: MadePasses;
  readonly at: Place;
  readonly acts: Acts | undefined;
  readonly locked: boolean;
  readonly lock: () => void;
  readonly swap: (to: number) => void;
}) {
  const { plan, why } = made;
  const plain = measuresOf(board).find(({ id }) => id === at.measure);
  if (!plain) return null;
  const { meter, neck } = board.tune;
  const number = measureNumbers(board).get(plain.id);
  const played = measureOf(meter, plain, strokesIn(plan, at.pass, plain));
  const id = plan.passes[at.pass]?.[plain.id] ?? 'plain';
  const choices = variantsOf(board, plain.id);
  return (
    <section className="sheet chosen" aria-label="The chosen cell" aria-live="polite">
      <Tab measure={played} label={describe(played, neck)} />
      <div className="grid content-start gap-2">
        <h2>
          Pass {at.pass + 1}, {number === 0 ? 'pickup' : `measure ${number}`}
        </h2>
        <p data-testid="why">{why[at.pass]?.[plain.id]}</p>
        {acts && (
          <>
            <label className="grid gap-1">
              Play here
              <select
                className="field"
                value={id}
                onChange={(event) => {
                  const choice =
                    choices.find((one) => one.id === event.target.value)?.id ?? 'plain';
                  acts.lock([{ pass: at.pass + 1, measure: plain.id, choice }]);
                }}
              >
                <option value="plain">the plain measure</option>
                {choices.map((one) => (
                  <option key={one.id} value={one.id}>
                    {nameOf(board.people, one.author)}:{' '}
                    {describe(measureOf(meter, plain, one.strokes))}
                  </option>
                ))}
              </select>
            </label>
            <div className="flex flex-wrap gap-2">
              <button type="button" className="button" aria-pressed={locked} onClick={lock}>
                lock <kbd>L</kbd>
              </button>
              <button
                type="button"
                className="button"
                disabled={at.pass === 0}
                onClick={() => swap(at.pass - 1)}
              >
                swap with the pass above <kbd>Alt ↑</kbd>
              </button>
              <button
                type="button"
                className="button"
                disabled={at.pass === plan.passes.length - 1}
                onClick={() => swap(at.pass + 1)}
              >
                swap with the pass below <kbd>Alt ↓</kbd>
              </button>
            </div>
          </>
        )}
      </div>
    </section>
  );
}
