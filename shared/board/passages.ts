import type { Measure } from '../../lib/tab/measure';
import { sameStrokes } from '../../lib/tab/measure';
import type { Part, PlainMeasure } from '../../lib/tune';
import { measureOf, playOrder } from '../../lib/tune';
import type { MeasureId, VariantId } from '../../lib/units';
import { planToPlay } from './plan-to-play';
import type { Board } from './schema';

/** What of a board is to be heard. Passes count from 1. */
export type Choice =
  | { readonly kind: 'plain' }
  | { readonly kind: 'pass'; readonly pass: number }
  /** All passes, one after the other. */
  | { readonly kind: 'plan' }
  | { readonly kind: 'variant'; readonly variant: VariantId };

/** How much of a pass. A variant is one measure whatever is said here. */
export type Stretch =
  /** As it is played, repeats and endings played out. */
  | { readonly kind: 'whole' }
  /** Once through a part, with its first ending. */
  | { readonly kind: 'part'; readonly letter: string }
  /** As they stand on paper, both included; of several endings the last one. */
  | { readonly kind: 'measures'; readonly from: MeasureId; readonly to: MeasureId };

/** One measure of what is heard. */
export interface Piece {
  readonly measure: Measure;
  readonly plain: PlainMeasure;
  readonly chosen: VariantId | 'plain';
  /** Does it differ from the plain measure? */
  readonly changed: boolean;
}

/** What a pass puts in a measure's place. */
type Chooser = (
  plain: PlainMeasure,
) => { readonly id: VariantId; readonly strokes: Measure['strokes'] } | undefined;

function pieceOf(board: Board, plain: PlainMeasure, choose: Chooser): Piece {
  const variant = choose(plain);
  const strokes = variant?.strokes ?? plain.strokes;
  return {
    measure: measureOf(board.tune.meter, plain, strokes),
    plain,
    chosen: variant?.id ?? 'plain',
    changed: !sameStrokes(strokes, plain.strokes),
  };
}

/** The measures that one of several endings leaves: those without a bracket and those of this one. */
function withOneEnding(
  measures: readonly PlainMeasure[],
  choose: (endings: readonly string[]) => string | undefined,
): readonly PlainMeasure[] {
  const endings = measures.flatMap(({ endings }) => (endings ? [endings.join()] : []));
  const kept = choose(endings);
  return measures.filter(({ endings }) => !endings || endings.join() === kept);
}

function rangeIn({ measures }: Part, from: number, to: number): readonly PlainMeasure[] {
  return withOneEnding(measures.slice(Math.max(0, from), Math.max(0, to + 1)), (endings) =>
    endings.at(-1),
  );
}

function measuresIn(board: Board, stretch: Stretch): readonly PlainMeasure[] {
  const { parts } = board.tune;
  switch (stretch.kind) {
    case 'whole':
      return playOrder(board.tune).map(({ measure }) => measure);
    case 'part': {
      const part = parts.find(({ letter }) => letter === stretch.letter);
      return withOneEnding(part?.measures ?? [], ([first]) => first);
    }
    case 'measures': {
      const all = parts.flatMap(({ measures }) => measures);
      const from = all.findIndex(({ id }) => id === stretch.from);
      const to = all.findIndex(({ id }) => id === stretch.to);
      if (from < 0 || to < 0) return [];
      let before = 0;
      return parts.flatMap((part) => {
        const start = before;
        before += part.measures.length;
        return rangeIn(part, Math.min(from, to) - start, Math.max(from, to) - start);
      });
    }
  }
}

/** The passes of a choice, each as what it puts in a measure's place; none where there is no such pass. */
function choosersOf(board: Board, choice: Choice): readonly Chooser[] {
  if (choice.kind === 'plain' || choice.kind === 'variant') return [() => undefined];
  const { passes, variants } = planToPlay(board);
  const chosen = choice.kind === 'plan' ? passes : passes.slice(choice.pass - 1, choice.pass);
  return chosen.map((pass) => (plain) => {
    const id = pass[plain.id] ?? 'plain';
    const variant = id === 'plain' ? undefined : variants[id];
    return variant && id !== 'plain' ? { id, strokes: variant.strokes } : undefined;
  });
}

/**
 * What is heard, pass by pass and measure by measure, in playing order. Empty where the board has no such pass, part, measure or
 * variant.
 */
export function passagesOf(
  board: Board,
  choice: Choice,
  stretch: Stretch,
): readonly (readonly Piece[])[] {
  if (choice.kind === 'variant') {
    const variant = board.variants.find(({ id }) => id === choice.variant);
    const plain = board.tune.parts
      .flatMap(({ measures }) => measures)
      .find(({ id }) => id === variant?.measure);
    return variant && plain ? [[pieceOf(board, plain, () => variant)]] : [];
  }
  const measures = measuresIn(board, stretch);
  if (measures.length === 0) return [];
  return choosersOf(board, choice).map((choose) =>
    measures.map((plain) => pieceOf(board, plain, choose)),
  );
}
