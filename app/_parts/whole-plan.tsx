import { playPath } from '../../shared/board/paths';
import type { Board, Plan } from '../../shared/board/schema';
import { leafOf } from '../_islands/play/book';
import { Sheet } from '../_islands/play/sheet';
import { bookOf } from './book';
import { TuneHead } from './tune-head';

/** All passes of a plan one after the other, to read or to print. */
export function WholePlan({ board, plan }: { readonly board: Board; readonly plan: Plan }) {
  const book = bookOf(board, plan);
  return (
    <main className="page page-play">
      <header className="flex flex-wrap items-end justify-between gap-4">
        <TuneHead tune={board.tune} />
        <a className="button" href={playPath(board.id)}>
          Play together
        </a>
      </header>
      {plan.passes.map((_, index) => {
        const leaf = leafOf(book, index + 1);
        return (
          leaf && (
            <section key={leaf.pass} className="pass-now printed-pass">
              <h2>Pass {leaf.pass}</h2>
              <Sheet leaf={leaf} />
            </section>
          )
        );
      })}
    </main>
  );
}
