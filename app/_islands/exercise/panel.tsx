import type { MeasureId, ParticipantId } from '../../../lib/units';
import type { ExerciseTask } from '../../../shared/board/exercise';
import { exerciseMeasures } from '../../../shared/board/exercise';
import type { Board, Exercise } from '../../../shared/board/schema';
import { MAX_MINUTES } from '../../../shared/board/values';
import type { BoardActs } from '../board/acts';
import { measureNumbers } from '../board/sights';
import { Gathered } from './gathered';
import { takenWords, taskWords } from './words';

/** What the leader can do about an exercise that is set. */
function Leading({
  exercise: { owners: _, ...task },
  over,
  set,
}: {
  readonly exercise: Exercise;
  readonly over: boolean;
  readonly set: (task: ExerciseTask | undefined) => void;
}) {
  const more = task.minutes < MAX_MINUTES;
  return (
    <p className="flex flex-wrap gap-2">
      {!over && (
        <button
          type="button"
          className="button"
          aria-disabled={!more}
          onClick={() => more && set({ ...task, minutes: task.minutes + 1 })}
        >
          One minute more
        </button>
      )}
      <button type="button" className="button button-quiet" onClick={() => set(undefined)}>
        Put the exercise away
      </button>
    </p>
  );
}

/** Goes to a measure on the page. Ids are letters, digits and dashes. */
function goTo(measure: MeasureId): void {
  const place = document.querySelector(`[data-measure="${measure}"] .plain`);
  place?.scrollIntoView({ block: 'center', behavior: 'instant' });
}

/** What is to be done, a way to a measure of one's own, and everything that was put forward in it. */
export function ExercisePanel({
  board,
  exercise,
  me,
  leads,
  acts,
  over,
}: {
  readonly board: Board;
  readonly exercise: Exercise;
  readonly me: ParticipantId;
  readonly leads: boolean;
  readonly acts: BoardActs | undefined;
  readonly over: boolean;
}) {
  const measures = exerciseMeasures(board.tune, exercise);
  const numbers = measureNumbers(board);
  const free = measures.filter(({ id }) => exercise.owners[id] === undefined);
  const mine = measures.filter(({ id }) => exercise.owners[id] === me);
  const next = free[0];
  return (
    <section className="sheet grid gap-2" aria-labelledby="exercise">
      <h2 id="exercise" className="text-wrap">
        Exercise: {taskWords(board, exercise)}
      </h2>
      <p role="status">
        {over ? 'Time is up. ' : ''}
        {takenWords(measures.length, measures.length - free.length)}
        {mine.length > 0 &&
          ` Yours: ${mine.map(({ id }) => numbers.get(id) || 'the pickup').join(', ')}.`}
      </p>
      {acts && !over && next && (
        <p>
          <button
            type="button"
            className={leads || mine.length > 0 ? 'button' : 'button button-first'}
            onClick={() => {
              acts.claim(next.id);
              goTo(next.id);
            }}
          >
            {mine.length > 0 ? 'Give me another free measure' : 'Give me a free measure'}
          </button>
        </p>
      )}
      <Gathered board={board} exercise={exercise} />
      {leads && acts && <Leading exercise={exercise} over={over} set={acts.setExercise} />}
    </section>
  );
}
