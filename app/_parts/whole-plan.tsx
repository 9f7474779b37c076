import type { BoardId } from '../../lib/units';
import { playPath } from '../../shared/board/paths';
import type { Played } from '../../shared/board/schema';
import { leafOf } from '../_islands/play/book';
import { Sheet } from '../_islands/play/sheet';
import { bookOf } from './book';
import { TuneHead } from './tune-head';

/** All passes of a plan one after the other, to read or to print. */
export function WholePlan({ board, played }: { readonly board: BoardId; readonly played: Played }) {
  const book = bookOf(played);
  return (
    <main className="page page-play">
      <header className="flex flex-wrap items-end justify-between gap-4">
        <TuneHead tune={played.tune} />
        <a className="button" href={playPath(board)}>
          Play together
        </a>
      </header>
      {played.plan.passes.map((_, index) => {
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
