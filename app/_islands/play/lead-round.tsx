import type { TurnLength } from '../../../lib/passes/circle';
import type { ParticipantId } from '../../../lib/units';
import { countedAs } from '../../../shared/board/same';
import type { Board } from '../../../shared/board/schema';
import type { Presence } from '../../../shared/wire/presence';
import { nameOf } from '../board/sights';

/** Who plays what: everybody everything, or each in turn, round the circle. */
export interface Round {
  readonly turn: TurnLength | 'none';
  /** Who is here and stays out of the circle. */
  readonly without: readonly ParticipantId[];
}

export const ALL_PLAY_ALL: Round = { turn: 'none', without: [] };

const TURNS: readonly (readonly [Round['turn'], string])[] = [
  ['none', 'everybody plays everything'],
  ['measure', 'round the circle, a measure each'],
  ['line', 'round the circle, a line of four each'],
];

/** Those who are here and may play a turn, with the names that they go by. */
function couldPlay(board: Board, here: readonly Presence[]) {
  const { people } = board;
  const present = new Set(here.map(({ participant }) => countedAs(board, participant)));
  return people
    .filter(({ id }) => present.has(id))
    .map(({ id }) => ({ id, name: nameOf(people, id) }));
}

/** Everybody in the circle, in the order of their turns. */
export function inCircle(board: Board, here: readonly Presence[], { without }: Round) {
  return couldPlay(board, here).filter(({ id }) => !without.includes(id));
}

/** A leader's choice of who plays what. */
export function LeadRound({
  board,
  here,
  round,
  change,
}: {
  readonly board: Board;
  readonly here: readonly Presence[];
  readonly round: Round;
  readonly change: (round: Round) => void;
}) {
  const { turn, without } = round;
  const people = couldPlay(board, here);
  return (
    <>
      <label className="grid gap-1">
        Who plays what
        <select
          className="field"
          value={turn}
          onChange={({ target: { value } }) => {
            const chosen = TURNS.find(([name]) => name === value)?.[0];
            if (chosen) change({ ...round, turn: chosen });
          }}
        >
          {TURNS.map(([name, words]) => (
            <option key={name} value={name}>
              {words}
            </option>
          ))}
        </select>
      </label>
      {turn !== 'none' && (
        <fieldset className="flex flex-wrap items-center gap-x-4">
          <legend>In the circle</legend>
          {people.map(({ id, name }) => (
            <label key={id} className="flex min-h-target items-center gap-2">
              <input
                type="checkbox"
                checked={!without.includes(id)}
                onChange={({ target: { checked } }) =>
                  change({
                    ...round,
                    without: checked ? without.filter((one) => one !== id) : [...without, id],
                  })
                }
              />
              {name}
            </label>
          ))}
        </fieldset>
      )}
    </>
  );
}
