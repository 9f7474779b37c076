import type { Metadata } from 'next';
import { boardPath, pdfPath } from '../../../../shared/board/paths';
import { readVisit } from '../../../_door/visit';
import { measureNumbers, nameOf, signsOf } from '../../../_islands/board/sights';
import { Cautions } from '../../../_parts/cautions';
import { NoEntry } from '../../../_parts/no-entry';
import { parseWishes } from '../../../_parts/sheet/blocks';
import { Legend } from '../../../_parts/sheet/legend';
import { SheetLine } from '../../../_parts/sheet/line';
import { SheetPasses } from '../../../_parts/sheet/passes';
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
  const board = await readVisit(id, typeof query.key === 'string' ? query.key : undefined);
  if (!board) return <NoEntry />;
  const wishes = parseWishes(query);
  const { blocks, paper, large } = wishes;
  const numbers = measureNumbers(board);
  const remarks = board.variants.filter(({ note }) => note !== '');
  return (
    <main className="page sheet-page" data-paper={paper} data-large={large || undefined}>
      <nav className="sheet-wishes" aria-label="This board">
        <a href={boardPath(id)}>To the board</a>
      </nav>
      <Wishes wishes={wishes} pdf={pdfPath(id)} />
      <TuneHead tune={board.tune} />
      {blocks.has('legend') && <Legend neck={board.tune.neck} />}
      {blocks.has('plain') && (
        <section>
          <h2>The plain tune</h2>
          {board.tune.parts.map((part) => {
            const signs = signsOf(part, numbers);
            return (
              <div key={part.letter} className="sheet-part">
                <h4>{part.letter}</h4>
                <SheetLine
                  tune={board.tune}
                  measures={part.measures.map((plain, index) => ({
                    plain,
                    options: signs[index] ?? {},
                  }))}
                />
              </div>
            );
          })}
        </section>
      )}
      {blocks.has('ways') && (
        <section>
          <h2>One thing at a time</h2>
          <Ways board={board} />
        </section>
      )}
      {blocks.has('passes') && (
        <section>
          <h2>What we play</h2>
          <SheetPasses board={board} />
        </section>
      )}
      {blocks.has('remarks') && remarks.length > 0 && (
        <section className="sheet-block">
          <h2>Said about it</h2>
          <ul>
            {remarks.map(({ id: variant, author, measure, note }) => (
              <li key={variant}>
                <strong>{nameOf(board.people, author)}</strong>, measure {numbers.get(measure)}:{' '}
                {note}
              </li>
            ))}
          </ul>
        </section>
      )}
      <Cautions sound={false} />
    </main>
  );
}
