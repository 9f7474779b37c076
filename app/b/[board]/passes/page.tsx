import type { Metadata } from 'next';
import { boardPath, playPath } from '../../../../shared/board/paths';
import { visit } from '../../../_door/visit';
import { PassesView } from '../../../_islands/passes/view';
import { NoEntry } from '../../../_parts/no-entry';
import { TuneHead } from '../../../_parts/tune-head';

export const metadata: Metadata = { title: 'Passes' };

/** From votes to passes: who gets heard, in which order, and why. */
export default async function PassesPage({
  params,
}: {
  readonly params: Promise<{ readonly board: string }>;
}) {
  const { board } = await params;
  const visitor = await visit(board);
  if (!visitor) return <NoEntry board={board} />;
  return (
    <main className="page">
      <header className="flex flex-wrap items-end justify-between gap-4">
        <TuneHead tune={visitor.board.tune} />
        <nav className="flex flex-wrap gap-2" aria-label="This board">
          <a className="button" href={boardPath(board)}>
            To the board
          </a>
          <a className="button button-first" href={playPath(board)}>
            Play together
          </a>
        </nav>
      </header>
      <PassesView me={visitor.me} rendered={visitor.board} />
    </main>
  );
}
