import { familyById } from '../../../lib/embellish/all';
import { containsOf } from '../../../lib/tab/marks';
import { measureOf } from '../../../lib/tune';
import { describe } from '../../../lib/words/describe';
import { gatheredIn } from '../../../shared/board/exercise';
import type { Board, Exercise } from '../../../shared/board/schema';
import { Ring } from '../board/people';
import { measureNumbers, nameOf } from '../board/sights';
import { Tab } from '../tab/tab';

/** What was put forward in the exercise, in the order of the tune and not of the clock: all of it together, whosever it is. */
export function Gathered({
  board,
  exercise,
}: {
  readonly board: Board;
  readonly exercise: Exercise;
}) {
  const variants = gatheredIn(board.variants, exercise);
  if (variants.length === 0)
    return <p className="text-soft">Nothing has been put forward in it yet.</p>;
  const numbers = measureNumbers(board);
  const { name } = familyById(exercise.family);
  const { meter, neck, parts } = board.tune;
  const plains = parts.flatMap(({ measures }) => measures);
  return (
    <ol className="gathered" aria-label="What was put forward in the exercise">
      {plains.flatMap((plain) =>
        variants
          .filter((variant) => variant.measure === plain.id)
          .map(({ id, author, strokes, note }) => {
            const measure = measureOf(meter, plain, strokes);
            const who = nameOf(board.people, author);
            const number = numbers.get(plain.id) ?? 0;
            const where = number === 0 ? 'the pickup' : `measure ${number}`;
            const contains: readonly string[] = containsOf(measure);
            return (
              <li key={id}>
                <p className="variant-line">
                  <Ring name={who} /> <strong>{who}</strong> {where}
                </p>
                <Tab
                  measure={measure}
                  label={`${where}, ${who}: ${describe(measure, neck)}`}
                  className="tab-small"
                />
                <p className="text-soft">
                  {contains.join(', ') || 'other notes'}
                  {contains.includes(name) ? '' : ` (no ${name})`}
                </p>
                {note && <p className="text-soft">“{note}”</p>}
              </li>
            );
          }),
      )}
    </ol>
  );
}
