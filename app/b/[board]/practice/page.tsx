import type { Metadata } from 'next';
import { boardPath } from '../../../../shared/board/paths';
import { visit } from '../../../_door/visit';
import { PracticeView } from '../../../_islands/practice/view';
import { Cautions } from '../../../_parts/cautions';
import { NoEntry } from '../../../_parts/no-entry';
import { TuneHead } from '../../../_parts/tune-head';

export const metadata: Metadata = { title: 'Practise' };

/** Practising alone, with what is on the board. */
export default async function PracticePage({
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
        <a className="button" href={boardPath(board)}>
          To the board
        </a>
      </header>
      <PracticeView me={visitor.me} rendered={visitor.board} />
      <Cautions sound={true} />
    </main>
  );
}
