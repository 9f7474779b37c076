import { measuresOf, planToPlay, strokesIn } from '../../../shared/board/plan';
import type { Board } from '../../../shared/board/schema';
import { measureNumbers, signsOf } from '../../_islands/board/sights';
import type { Printed } from './line';
import { SheetLine } from './line';

/** The agreed passes: of each the parts once, with whose variant stands where. */
export function SheetPasses({ board }: { readonly board: Board }) {
  const plan = planToPlay(board);
  const played = new Set(measuresOf(board).map(({ id }) => id));
  const numbers = measureNumbers(board);
  const rows = plan.passes.map((chosen, pass) => ({ chosen, pass, name: `Pass ${pass + 1}` }));
  return rows.map(({ chosen, pass, name }) => {
    const isPlain = Object.values(chosen).every((id) => id === 'plain');
    return (
      <section key={name} className="sheet-block">
        <h3>
          {name}
          {isPlain ? ': plain, as above' : ''}
        </h3>
        {!isPlain &&
          board.tune.parts.map((part) => {
            const signs = signsOf(part, numbers);
            const printed = part.measures.flatMap((plain, index): readonly Printed[] => {
              if (!played.has(plain.id)) return [];
              const variant = plan.variants[chosen[plain.id] ?? 'plain'];
              const options = { ...signs[index], changed: variant !== undefined };
              const strokes = strokesIn(plan, pass, plain);
              return [{ plain, strokes, options, ...(variant ? { by: variant.by } : {}) }];
            });
            return (
              <div key={part.letter} className="sheet-part">
                <h4>{part.letter}</h4>
                <SheetLine tune={board.tune} measures={printed} />
              </div>
            );
          })}
      </section>
    );
  });
}
