import type { Metadata } from 'next';
import type { BoardId } from '../../../../lib/units';
import { pastPath, peoplePath } from '../../../../shared/board/paths';
import { cookieHeader, host } from '../../../_door/host';
import { When } from '../../../_islands/past/when';
import { NoEntry } from '../../../_parts/no-entry';
import { REASON_WORDS } from '../../../_parts/past/reasons';
import { WhatReturns } from '../../../_parts/past/what-returns';

export const metadata: Metadata = { title: 'How the board was' };

/** The moments at which a board was kept, for its leaders. */
export default async function PastPage({
  params,
}: {
  readonly params: Promise<{ readonly board: string }>;
}) {
  const { board } = await params;
  const listed = await host().listPast(board as BoardId, await cookieHeader());
  if (!listed.ok) return <NoEntry board={board} />;
  return (
    <main className="page">
      <header className="flex flex-wrap items-end justify-between gap-4">
        <h1 className="text-4xl">How the board was</h1>
        <a className="button" href={peoplePath(board)}>
          Back to people and order
        </a>
      </header>
      <p>
        The board is kept as it is whenever passes are agreed or voting closes, and every ten
        minutes while somebody works on it. Older moments are thinned out. Only leaders see this
        page.
      </p>
      <section className="sheet grid gap-3" aria-labelledby="moments">
        <h2 id="moments">Moments</h2>
        {listed.value.length === 0 && <p>Nothing has been kept yet.</p>}
        <ul className="grid gap-2">
          {listed.value.map(({ number, atMs, why }) => (
            <li key={number} className="flex flex-wrap items-center gap-3" data-point={number}>
              <a href={pastPath(board, number)}>
                <When atMs={atMs} />
              </a>
              <span className="text-soft">{REASON_WORDS[why]}</span>
            </li>
          ))}
        </ul>
      </section>
      <section className="sheet" aria-label="What a return does">
        <WhatReturns />
      </section>
    </main>
  );
}
