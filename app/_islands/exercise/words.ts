import { familyById } from '../../../lib/embellish/all';
import type { MeasureId, Ms } from '../../../lib/units';
import type { ExerciseTask } from '../../../shared/board/exercise';
import { exerciseMeasures } from '../../../shared/board/exercise';
import type { Board } from '../../../shared/board/schema';
import { measureNumbers } from '../board/sights';

function numberWords(board: Pick<Board, 'tune'>, measure: MeasureId): string {
  const number = measureNumbers(board).get(measure) ?? 0;
  return number === 0 ? 'the pickup' : `${number}`;
}

/** A stretch of the tune in words: "the A part", "measures 3 to 6", "measure 3". */
export function stretchWords(
  board: Pick<Board, 'tune'>,
  { from, to }: Pick<ExerciseTask, 'from' | 'to'>,
): string {
  const measures = exerciseMeasures(board.tune, { from, to });
  const [first, last] = [measures[0], measures.at(-1)];
  if (!first || !last) return 'measures that are no longer there';
  const part = board.tune.parts.find(
    (one) => one.measures[0]?.id === first.id && one.measures.at(-1)?.id === last.id,
  );
  if (part) return `the ${part.letter} part`;
  const [begin, end] = [first, last].map(({ id }) => numberWords(board, id));
  if (begin === end) return begin === 'the pickup' ? begin : `measure ${begin}`;
  return begin === 'the pickup' ? `${begin} to measure ${end}` : `measures ${begin} to ${end}`;
}

/** What is to be tried where: "hammer-on in the A part". */
export function taskWords(board: Pick<Board, 'tune'>, task: ExerciseTask): string {
  return `${familyById(task.family).name} in ${stretchWords(board, task)}`;
}

/** Time that is left, as on a clock: "4:07"; "0:00" when it is over. Begun seconds count whole, so that it shows 0:00 at the end and not before. */
export function leftOnTheClock(leftMs: Ms): string {
  const seconds = Math.max(0, Math.ceil(leftMs / 1000));
  return `${Math.floor(seconds / 60)}:${`${seconds % 60}`.padStart(2, '0')}`;
}

/** Who has what, in words for everybody. */
export function takenWords(all: number, taken: number): string {
  if (taken === 0) return `Nobody has taken one of the ${all} measures yet.`;
  if (taken === all) return `All ${all} measures are taken.`;
  return `${taken} of ${all} measures ${taken === 1 ? 'is' : 'are'} taken.`;
}
