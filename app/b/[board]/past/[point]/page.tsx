import type { Metadata } from 'next';
import type { BoardId } from '../../../../../lib/units';
import { pastPath } from '../../../../../shared/board/paths';
import { cookieHeader, host } from '../../../../_door/host';
import { ReturnButton } from '../../../../_islands/past/return-button';
import { When } from '../../../../_islands/past/when';
import { NoEntry } from '../../../../_parts/no-entry';
import { REASON_WORDS } from '../../../../_parts/past/reasons';
import { PastVariants } from '../../../../_parts/past/variants';
import { WhatReturns } from '../../../../_parts/past/what-returns';
import { printedParts } from '../../../../_parts/sheet/lines';
import { SheetPart } from '../../../../_parts/sheet/part';
import { SheetPasses } from '../../../../_parts/sheet/passes';
import { TuneHead } from '../../../../_parts/tune-head';

export const metadata: Metadata = { title: 'How the board was' };

/** The board as it was at one moment, to be looked at and, if its leader wishes, to be returned to. */
export default async function PointPage({
  params,
}: {
  readonly params: Promise<{ readonly board: string; readonly point: string }>;
}) {
  const { board: id, point } = await params;
  const read = await host().readPast(id as BoardId, Number(point), await cookieHeader());
  if (!read.ok) return <NoEntry board={id} />;
  const { board, note } = read.value;
  return (
    <main className="page">
      <header className="flex flex-wrap items-end justify-between gap-4">
        <TuneHead tune={board.tune} />
        <a className="button" href={pastPath(id)}>
          Other moments
        </a>
      </header>
      <section className="sheet grid gap-4" aria-label="This moment">
        <p>
          This is how the board was: <When atMs={note.atMs} /> ({REASON_WORDS[note.why]}). Nothing
          can be changed here.
        </p>
        <WhatReturns />
        <ReturnButton board={id} point={note.number} />
      </section>
      <section className="sheet" aria-labelledby="plain">
        <h2 id="plain">The plain tune</h2>
        {printedParts(board).map((part) => (
          <SheetPart key={part.letter} tune={board.tune} part={part} large={false} />
        ))}
      </section>
      <section className="sheet grid gap-4" aria-labelledby="variants">
        <h2 id="variants">Variants and votes</h2>
        <PastVariants board={board} />
      </section>
      {board.plan && (
        <section className="sheet" aria-labelledby="passes">
          <h2 id="passes">The agreed passes</h2>
          <SheetPasses board={board} large={false} />
        </section>
      )}
    </main>
  );
}
