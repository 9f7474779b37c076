import { measureOf } from '../../../lib/tune';
import { describe } from '../../../lib/words/describe';
import type { Board, Variant } from '../../../shared/board/schema';
import { plainId } from '../../../shared/board/schema';
import { tallyOf } from '../../../shared/board/tally';
import { measureNumbers, nameOf } from '../../_islands/board/sights';
import { Tab } from '../../_islands/tab/tab';

function votesWords(votes: number): string {
  if (votes === 0) return 'no votes';
  return votes === 1 ? '1 vote' : `${votes} votes`;
}

/** Everybody's variants as they were, with their votes; hidden ones too. */
export function PastVariants({ board }: { readonly board: Board }) {
  const tally = tallyOf(board);
  const numbers = measureNumbers(board);
  const hidden = new Set(board.orders.hidden);
  const all: readonly Variant[] = [...board.variants, ...board.orders.hidden];
  const measures = board.tune.parts.flatMap((part) => part.measures);
  const withVariants = measures.filter(({ id }) => all.some(({ measure }) => measure === id));
  if (withVariants.length === 0) return <p>Nobody had put a variant forward yet.</p>;
  return (
    <ul className="grid gap-5">
      {withVariants.map((plain) => {
        const number = numbers.get(plain.id) ?? 0;
        return (
          <li key={plain.id} className="grid gap-2">
            <h3>{number === 0 ? 'The pickup' : `Measure ${number}`}</h3>
            <p className="text-soft">
              as it stands: {votesWords(tally.get(plainId(plain.id)) ?? 0)}
            </p>
            <ul className="past-variants">
              {all
                .filter(({ measure }) => measure === plain.id)
                .map((variant) => {
                  const { id, author, strokes, note } = variant;
                  const measure = measureOf(board.tune.meter, plain, strokes);
                  return (
                    <li key={id}>
                      <Tab
                        measure={measure}
                        label={describe(measure, board.tune.neck)}
                        options={{}}
                      />
                      <strong>{nameOf(board.people, author)}</strong>,{' '}
                      {votesWords(tally.get(id) ?? 0)}
                      {hidden.has(variant) && ', hidden'}
                      {note && <>: “{note}”</>}
                    </li>
                  );
                })}
            </ul>
          </li>
        );
      })}
    </ul>
  );
}
