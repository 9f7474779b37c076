import type { ReactNode } from 'react';
import type { Level } from '../../../lib/hands/level';
import { LEVELS } from '../../../lib/hands/level';
import { MAX_PASSES, MIN_PASSES } from '../../../lib/passes/limits';
import { passesPath } from '../../../shared/board/paths';
import type { Board, Plan } from '../../../shared/board/schema';
import { MAX_TEMPO, MAX_TITLE, MIN_TEMPO } from '../../../shared/board/values';
import { usePasses } from '../passes/use-passes';
import type { BoardActs } from './acts';
import { votedMeasures } from './sights';
import { TuneStructure } from './tune-structure';
import type { Structuring } from './use-structure';

const LEVEL_LIST: readonly Level[] = [1, 2, 3, 4, 5];

/** The word that closes the vote and publishes the passes it makes; they are made while the leader looks at the board. */
function Agree({
  board,
  publish,
}: {
  readonly board: Board;
  readonly publish: (plan: Plan) => void;
}) {
  const { made, contradiction, progress } = usePasses(board);
  const ready = made !== undefined && progress === undefined && contradiction.length === 0;
  return (
    <>
      <button
        type="button"
        className={board.voting === 'agreed' ? 'button' : 'button button-first'}
        aria-disabled={!ready}
        onClick={() => ready && publish(made.plan)}
      >
        {board.voting === 'agreed' ? 'Make the passes again' : 'Agreed'}
      </button>
      {contradiction.map((words) => (
        <p key={words} className="reason">
          {words}
        </p>
      ))}
    </>
  );
}

/** The tune's name and tempo, corrected in place. */
function TuneFields({ board, setHead }: { readonly board: Board } & Pick<BoardActs, 'setHead'>) {
  const { title, tempo } = board.tune;
  return (
    <details>
      <summary>The tune's name and tempo</summary>
      <div className="flex flex-wrap items-end gap-3 pt-2">
        <label className="grid gap-1">
          Name
          <input
            className="field"
            key={title}
            defaultValue={title}
            maxLength={MAX_TITLE}
            onBlur={(event) => {
              const next = event.target.value.trim();
              if (next !== '' && next !== title) setHead({ title: next });
            }}
          />
        </label>
        <label className="grid gap-1">
          Beats a minute
          <input
            className="field w-24"
            type="number"
            min={MIN_TEMPO}
            max={MAX_TEMPO}
            defaultValue={tempo}
            onChange={(event) => {
              const next = event.target.valueAsNumber;
              if (next >= MIN_TEMPO && next <= MAX_TEMPO) setHead({ tempo: next });
            }}
          />
        </label>
      </div>
    </details>
  );
}

/** The leader's desk: how far the vote is, how many passes, the word that closes it, and what else a leader does (`children`). */
export function Desk({
  board,
  acts,
  structure,
  children,
}: {
  readonly board: Board;
  readonly acts: BoardActs;
  readonly structure: Structuring | undefined;
  readonly children: ReactNode;
}) {
  const { voted, all } = votedMeasures(board);
  const voters = Object.keys(board.approvals).length;
  const open = board.voting === 'open';
  return (
    <section className="sheet grid gap-1" aria-labelledby="desk">
      <h2 id="desk">You lead</h2>
      <p data-testid="tally">
        {open && board.orders.secretBallots
          ? 'Ballots are secret: nobody sees them until you close the vote, you neither.'
          : `${voters === 1 ? '1 person has' : `${voters} people have`} voted on ${voted} of ${all} measures.`}
        {open &&
          !board.orders.secretBallots &&
          ' Say "agreed" when you are happy: it closes the vote and makes the passes.'}
        {board.voting === 'closed' && ' The vote is closed. Make the passes when you are ready.'}
        {board.voting === 'agreed' && ' The vote is closed and the passes are made.'}
      </p>
      <div className="flex flex-wrap items-end gap-3">
        <label className="grid gap-1">
          Passes, the first one plain
          <input
            className="field w-24"
            type="number"
            min={MIN_PASSES}
            max={MAX_PASSES}
            value={board.passes}
            onChange={(event) => {
              const passes = event.target.valueAsNumber;
              if (Number.isInteger(passes) && passes >= MIN_PASSES && passes <= MAX_PASSES)
                acts.setPasses(passes);
            }}
          />
        </label>
        <label className="grid gap-1">
          The group plays up to
          <select
            className="field"
            value={board.level}
            onChange={(event) => {
              const level = LEVEL_LIST.find((one) => one === Number(event.target.value));
              if (level) acts.setLevel(level);
            }}
          >
            {LEVEL_LIST.map((level) => (
              <option key={level} value={level}>
                level {level}: {LEVELS[level]}
              </option>
            ))}
          </select>
        </label>
        {open && board.orders.secretBallots ? (
          <button type="button" className="button button-first" onClick={acts.closeVoting}>
            Close the vote and see the ballots
          </button>
        ) : (
          <Agree board={board} publish={acts.publish} />
        )}
        {!open && (
          <button type="button" className="button button-quiet" onClick={acts.openVoting}>
            Open the vote again
          </button>
        )}
        <a className="button button-quiet" href={passesPath(board.id)}>
          Look at the passes
        </a>
      </div>
      <TuneFields board={board} setHead={acts.setHead} />
      {structure && <TuneStructure board={board} structure={structure} />}
      {children}
    </section>
  );
}
