import type { Metadata } from 'next';
import { boardPath, pdfPath } from '../../../../shared/board/paths';
import { printedCode, readVisit } from '../../../_door/visit';
import { CodeFigure } from '../../../_islands/sheet/code-figure';
import { LinkOnSheet } from '../../../_islands/sheet/link-on-sheet';
import { ScanCode } from '../../../_islands/sheet/scan-code';
import { Cautions } from '../../../_parts/cautions';
import { NoEntry } from '../../../_parts/no-entry';
import { parseWishes } from '../../../_parts/sheet/blocks';
import { Files } from '../../../_parts/sheet/files';
import { Legend } from '../../../_parts/sheet/legend';
import { printedParts } from '../../../_parts/sheet/lines';
import { SheetPart } from '../../../_parts/sheet/part';
import { SheetPasses } from '../../../_parts/sheet/passes';
import { Remarks } from '../../../_parts/sheet/remarks';
import { Tuning } from '../../../_parts/sheet/tuning';
import { Ways } from '../../../_parts/sheet/ways';
import { Wishes } from '../../../_parts/sheet/wishes';
import { TuneHead } from '../../../_parts/tune-head';

export const metadata: Metadata = { title: 'Sheet' };

/** What a leader hands out: made to be printed, black and white safe, never a page break inside a line of tab. */
export default async function SheetPage({
  params,
  searchParams,
}: {
  readonly params: Promise<{ readonly board: string }>;
  readonly searchParams: Promise<Readonly<Record<string, string | readonly string[] | undefined>>>;
}) {
  const { board: id } = await params;
  const query = await searchParams;
  const key = typeof query.key === 'string' ? query.key : undefined;
  const board = await readVisit(id, key);
  if (!board) return <NoEntry board={id} />;
  const wishes = parseWishes(query);
  const { blocks, paper, large } = wishes;
  const code = printedCode(id, key);
  return (
    <main className="page sheet-page" data-paper={paper} data-large={large || undefined}>
      <LinkOnSheet>
        <nav className="sheet-wishes" aria-label="This board">
          <a href={boardPath(id)}>To the board</a>
        </nav>
        <Wishes wishes={wishes} pdf={pdfPath(id)} linkKey={key} />
        <Files board={id} />
        <header className="sheet-head">
          <TuneHead tune={board.tune} />
          {code && <CodeFigure code={code} />}
          {!code && wishes.code && <ScanCode board={id} role={wishes.code} />}
        </header>
        {blocks.has('legend') && <Tuning neck={board.tune.neck} />}
        {blocks.has('legend') && <Legend tune={board.tune} />}
        {blocks.has('plain') && (
          <section>
            <h2>The plain tune</h2>
            {printedParts(board).map((part) => (
              <SheetPart key={part.letter} tune={board.tune} part={part} large={large} />
            ))}
          </section>
        )}
        {blocks.has('ways') && (
          <section>
            <h2>One thing at a time</h2>
            <Ways board={board} large={large} />
          </section>
        )}
        {blocks.has('passes') && board.plan && (
          <section>
            <h2>What we play</h2>
            <SheetPasses board={board} large={large} />
          </section>
        )}
        {blocks.has('passes') && !board.plan && (
          <p className="sheet-wishes">
            Nothing is agreed yet. What you play pass by pass stands here as soon as it is.
          </p>
        )}
        {blocks.has('remarks') && <Remarks board={board} />}
        <Cautions sound={false} />
      </LinkOnSheet>
    </main>
  );
}
