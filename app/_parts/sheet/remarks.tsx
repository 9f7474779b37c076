import type { Board } from '../../../shared/board/schema';
import { measureNumbers, nameOf } from '../../_islands/board/sights';

/** What people said of their variants. */
export function Remarks({ board }: { readonly board: Board }) {
  const remarks = board.variants.filter(({ note }) => note !== '');
  if (remarks.length === 0) return null;
  const numbers = measureNumbers(board);
  return (
    <section>
      <h2>Said about it</h2>
      <ul className="sheet-remarks">
        {remarks.map(({ id, author, measure, note }) => (
          <li key={id}>
            <strong>{nameOf(board.people, author)}</strong>, measure {numbers.get(measure)}: {note}
          </li>
        ))}
      </ul>
    </section>
  );
}
