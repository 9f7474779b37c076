import type { Metadata } from 'next';
import { playPath } from '../../../shared/board/paths';
import { visit } from '../../_door/visit';
import { BoardView } from '../../_islands/board/view';
import { NoEntry } from '../../_parts/no-entry';
import { TuneHead } from '../../_parts/tune-head';

export const metadata: Metadata = { title: 'Board' };

/** The board: the tune with everybody's variants, live. */
export default async function BoardPage({
  params,
}: {
  readonly params: Promise<{ readonly board: string }>;
}) {
  const { board } = await params;
  const visitor = await visit(board);
  if (!visitor) return <NoEntry />;
  return (
    <main className="page">
      <header className="flex flex-wrap items-end justify-between gap-4">
        <TuneHead tune={visitor.board.tune} />
        <a className="button button-first" href={playPath(board)}>
          Play together
        </a>
      </header>
      <BoardView me={visitor.me} rendered={visitor.board} />
    </main>
  );
}
