import type { Metadata } from 'next';
import { playPath, practicePath, sheetPath } from '../../../shared/board/paths';
import { visit } from '../../_door/visit';
import { BoardView } from '../../_islands/board/view';
import { HearStrip } from '../../_islands/sound/strip';
import { Cautions } from '../../_parts/cautions';
import { NoEntry } from '../../_parts/no-entry';
import { TuneHead } from '../../_parts/tune-head';

type Params = Promise<{ readonly board: string }>;

export async function generateMetadata({ params }: { readonly params: Params }): Promise<Metadata> {
  const visitor = await visit((await params).board);
  return { title: visitor ? visitor.board.tune.title : 'Board' };
}

/** The board: the tune with everybody's variants, live. */
export default async function BoardPage({ params }: { readonly params: Params }) {
  const { board } = await params;
  const visitor = await visit(board);
  if (!visitor) return <NoEntry board={board} />;
  return (
    <main className="page">
      <header className="flex flex-wrap items-end justify-between gap-4">
        <TuneHead tune={visitor.board.tune} />
        <p className="flex flex-wrap gap-2">
          <a className="button button-quiet" href={sheetPath(board)}>
            Print a sheet
          </a>
          <a className="button" href={practicePath(board)}>
            Practise alone
          </a>
          <a className="button button-first" href={playPath(board)}>
            Play together
          </a>
        </p>
      </header>
      <HearStrip />
      <BoardView me={visitor.me} rendered={visitor.board} />
      <Cautions sound={false} />
    </main>
  );
}
