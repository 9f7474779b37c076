import { endOf } from '../../../shared/board/exercise';
import type { Board, Exercise } from '../../../shared/board/schema';
import type { Session } from '../session/session';
import { Countdown } from './countdown';
import { taskWords } from './words';

/** At the foot of the screen while an exercise goes on: what is to be tried, and how long still. */
export function ExerciseBar({
  session,
  inTime,
  board,
  exercise,
}: {
  readonly session: Session;
  readonly inTime: boolean;
  readonly board: Board;
  readonly exercise: Exercise;
}) {
  return (
    <div className="exercise-bar">
      <p>Exercise: {taskWords(board, exercise)}</p>
      <p>
        <Countdown session={session} inTime={inTime} endMs={endOf(exercise)} /> left
      </p>
    </div>
  );
}
