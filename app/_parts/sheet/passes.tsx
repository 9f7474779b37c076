import { strokesIn } from '../../../shared/board/plan';
import { measuresOf, planToPlay } from '../../../shared/board/plan-to-play';
import type { Board, Plan } from '../../../shared/board/schema';
import type { Printed, PrintedPart } from './lines';
import { isKept, printedParts } from './lines';
import { SheetPart } from './part';

/** A pass as it is printed. */
interface PrintedPass {
  readonly name: string;
  /** Where it is the same as something that stands above, that. */
  readonly as?: string;
  readonly parts: readonly PrintedPart[];
}

function partsIn(
  plan: Plan,
  pass: number,
  parts: readonly PrintedPart[],
  played: ReadonlySet<string>,
): readonly PrintedPart[] {
  const chosen = plan.passes[pass] ?? {};
  return parts.map(({ letter, measures }) => ({
    letter,
    measures: measures.flatMap((printed): readonly Printed[] => {
      const { plain, options } = printed;
      if (!played.has(plain.id)) return [];
      const variant = plan.variants[chosen[plain.id] ?? 'plain'];
      const strokes = strokesIn(plan, pass, plain);
      return [
        {
          plain,
          strokes,
          options: { ...options, changed: variant !== undefined },
          ...(variant ? { by: variant.by } : {}),
        },
      ];
    }),
  }));
}

function passesOf(board: Board): readonly PrintedPass[] {
  const plan = planToPlay(board);
  const parts = printedParts(board);
  const played = new Set(measuresOf(board).map(({ id }) => id));
  const names = new Map<string, string>();
  return plan.passes.map((chosen, pass) => {
    const name = `Pass ${pass + 1}`;
    const varied = Object.entries(chosen).filter(([, id]) => id !== 'plain');
    const content = JSON.stringify(varied.sort());
    const as = varied.length === 0 ? 'the plain tune' : names.get(content);
    if (!names.has(content)) names.set(content, `the same as ${name.toLowerCase()}`);
    return {
      name,
      parts: partsIn(plan, pass, parts, played),
      ...(as === undefined ? {} : { as }),
    };
  });
}

function isShort(parts: readonly PrintedPart[], large: boolean): boolean {
  return isKept(
    parts.map(({ measures }) => measures),
    large,
  );
}

/** The agreed passes: of each the parts once, with whose variant stands where. What is played again is named, not printed again. */
export function SheetPasses({ board, large }: { readonly board: Board; readonly large: boolean }) {
  return passesOf(board).map(({ name, as, parts }) => (
    <section key={name} className={`sheet-block ${isShort(parts, large) ? 'sheet-kept' : ''}`}>
      <h3>
        {name}
        {as === undefined ? '' : `: ${as}`}
      </h3>
      {as === undefined &&
        parts.map((part) => (
          <SheetPart key={part.letter} tune={board.tune} part={part} large={large} />
        ))}
    </section>
  ));
}
