import { writeHidden, writeShut } from '../../../shared/board/leading';
import type { Board, Variant } from '../../../shared/board/schema';
import { measureNumbers, nameOf } from '../board/sights';
import type { Session } from '../session/session';

/** Measures and their variants in words, with what a leader may order about each: hide it, take no more. */
export function Variants({ board, session }: { readonly board: Board; readonly session: Session }) {
  const numbers = measureNumbers(board);
  const measures = board.tune.parts.flatMap((part) => part.measures.map(({ id }) => id));
  const all = [...board.variants, ...board.orders.hidden];
  return (
    <section className="sheet grid gap-3" aria-labelledby="variants">
      <h2 id="variants">Measures and variants</h2>
      <ul className="grid gap-2">
        {measures.map((measure) => {
          const number = numbers.get(measure) ?? 0;
          const named = number === 0 ? 'the pickup' : `measure ${number}`;
          const shut = board.orders.shut.includes(measure);
          return (
            <li key={measure} className="grid gap-1" data-measure={measure}>
              <p className="flex flex-wrap items-center gap-3">
                <strong>{named}</strong>
                <button
                  type="button"
                  className="button button-small"
                  aria-pressed={shut}
                  onClick={() => writeShut(session.lead, session.documents.house, measure, !shut)}
                >
                  <span>
                    {shut ? 'take variants again' : 'take no more variants'}{' '}
                    <span className="sr-only">for {named}</span>
                  </span>
                </button>
                {shut && 'Shut: what comes from now on is not shown.'}
              </p>
              <ul>
                {all
                  .filter((variant) => variant.measure === measure)
                  .map((variant) => (
                    <One
                      key={variant.id}
                      variant={variant}
                      author={nameOf(board.people, variant.author)}
                      hidden={board.orders.hidden.includes(variant)}
                      session={session}
                    />
                  ))}
              </ul>
            </li>
          );
        })}
      </ul>
    </section>
  );
}

function One({
  variant,
  author,
  hidden,
  session,
}: {
  readonly variant: Variant;
  readonly author: string;
  readonly hidden: boolean;
  readonly session: Session;
}) {
  return (
    <li className="flex flex-wrap items-center gap-3" data-variant={variant.id}>
      <span>
        by {author}
        {variant.note && <>: “{variant.note}”</>}
        {hidden && ' (hidden: out of sight, out of the vote and out of the next plan)'}
      </span>
      <button
        type="button"
        className="button button-small"
        aria-pressed={hidden}
        onClick={() => writeHidden(session.lead, variant.id, !hidden)}
      >
        <span>
          {hidden ? 'bring back' : 'hide'} <span className="sr-only">the variant by {author}</span>
        </span>
      </button>
    </li>
  );
}
