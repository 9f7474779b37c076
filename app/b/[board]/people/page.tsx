import type { Metadata } from 'next';
import { boardPath } from '../../../../shared/board/paths';
import { visit } from '../../../_door/visit';
import { PeopleView } from '../../../_islands/people/view';
import { NoEntry } from '../../../_parts/no-entry';

type Params = Promise<{ readonly board: string }>;

export async function generateMetadata({ params }: { readonly params: Params }): Promise<Metadata> {
  const visitor = await visit((await params).board);
  return { title: visitor ? `People · ${visitor.board.tune.title}` : 'Board' };
}

/** Who is on a board, what its leaders have ordered, and what is mine. */
export default async function PeoplePage({ params }: { readonly params: Params }) {
  const { board } = await params;
  const visitor = await visit(board);
  if (!visitor) return <NoEntry board={board} />;
  return (
    <main className="page">
      <header className="flex flex-wrap items-end justify-between gap-4">
        <h1 className="text-4xl">People at {visitor.board.tune.title}</h1>
        <a className="button" href={boardPath(board)}>
          Back to the board
        </a>
      </header>
      <PeopleView me={visitor.me} rendered={visitor.board} />
    </main>
  );
}
