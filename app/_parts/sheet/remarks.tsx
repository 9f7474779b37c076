import type { Board } from '../../../shared/board/schema';
import { measureNumbers, nameOf } from '../../_islands/board/sights';

/** So many stand together on one page, and more would not fit on what is left of one. Settled by looking. */
const KEPT = 8;

/** What people said of their variants. */
export function Remarks({ board }: { readonly board: Board }) {
  const remarks = board.variants.filter(({ note }) => note !== '');
  if (remarks.length === 0) return null;
  const numbers = measureNumbers(board);
  return (
    <section className={remarks.length <= KEPT ? 'sheet-kept' : ''}>
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
