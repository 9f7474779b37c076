import type { MeasureId, VariantId } from '../../../lib/units';
import type { Board, Pointer } from '../../../shared/board/schema';
import { measureNumbers, nameOf } from '../board/sights';

/** The measure or variant that a place on the page belongs to; undefined outside the music. */
export function pointerAt(board: Board, place: Element): Pointer | undefined {
  const named = place.closest<HTMLElement>('[data-measure]')?.dataset.measure;
  const measure = board.tune.parts
    .flatMap(({ measures }) => measures)
    .find(({ id }): boolean => id === named)?.id;
  if (measure === undefined) return undefined;
  const card = place.closest<HTMLElement>('[data-variant]')?.dataset.variant;
  const variant = board.variants.find(({ id }) => id === card)?.id;
  return variant === undefined ? { measure } : { measure, variant };
}

/** CSS selector of what is pointed at. Ids are letters, digits, points and dashes. */
export function selectorOf({ measure, variant }: Pointer): string {
  return variant === undefined ? `[data-measure="${measure}"]` : `[data-variant="${variant}"]`;
}

function numbered(board: Board, measure: MeasureId): string {
  const number = measureNumbers(board).get(measure) ?? 0;
  return number === 0 ? 'the pickup' : `measure ${number}`;
}

function authorOf(board: Board, id: VariantId): string {
  const author = board.variants.find((variant) => variant.id === id)?.author;
  return author === undefined ? 'somebody' : nameOf(board.people, author);
}

/** What is pointed at, in words. */
export function pointedWords(board: Board, { measure, variant }: Pointer): string {
  const where = numbered(board, measure);
  return variant === undefined ? where : `${authorOf(board, variant)}'s variant of ${where}`;
}
