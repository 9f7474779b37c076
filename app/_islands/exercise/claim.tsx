import type { MeasureId, ParticipantId } from '../../../lib/units';
import { exerciseMeasures } from '../../../shared/board/exercise';
import type { Board } from '../../../shared/board/schema';
import type { BoardActs } from '../board/acts';
import { Ring } from '../board/people';
import { nameOf } from '../board/sights';

/** At a measure of the exercise: whose it is, or a button to take it. */
export function Claim({
  board,
  measure,
  named,
  me,
  acts,
  over,
}: {
  readonly board: Board;
  readonly measure: MeasureId;
  /** "measure 3". */
  readonly named: string;
  readonly me: ParticipantId;
  /** Absent for somebody who only watches. */
  readonly acts: Pick<BoardActs, 'claim' | 'letGo'> | undefined;
  readonly over: boolean;
}) {
  const { exercise } = board;
  if (!exercise || !exerciseMeasures(board.tune, exercise).some(({ id }) => id === measure))
    return null;
  const owner = exercise.owners[measure];
  const open = acts !== undefined && !over;
  if (owner === undefined)
    return open ? (
      <p className="claim">
        <button type="button" className="button" onClick={() => acts.claim(measure)}>
          <span>
            I take it<span className="sr-only">: {named} for the exercise</span>
          </span>
        </button>
      </p>
    ) : null;
  if (owner !== me)
    return (
      <p className="claim">
        <Ring name={nameOf(board.people, owner)} /> {nameOf(board.people, owner)}{' '}
        {over ? 'had it' : 'is on it'}
      </p>
    );
  return (
    <p className="claim">
      <strong>{over ? 'You had it' : 'Yours for the exercise'}</strong>
      {open && (
        <button type="button" className="button button-small" onClick={() => acts.letGo(measure)}>
          <span>
            let it go<span className="sr-only">: {named}</span>
          </span>
        </button>
      )}
    </p>
  );
}
