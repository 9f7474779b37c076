import type { Problem, Result } from '../result';
import { fail, ok } from '../result';
import type { Meter } from '../rhythm';
import { checkFill } from '../tab/fill';
import type { Part, PlainMeasure, Tune } from '../tune';
import { measureOf, playOrder } from '../tune';
import type { MeasureId } from '../units';

/** A measure in its place. One that is laid aside is not in the tune, but keeps its place, so that it can come back to it. */
export interface Entry {
  readonly measure: PlainMeasure;
  readonly aside: boolean;
}

export interface LayoutPart {
  readonly letter: string;
  readonly entries: readonly Entry[];
}

/**
 * The structure of a tune as a leader edits it. A measure's id stands for its shape (`startsAt` and `ticks`): a change of shape lays the
 * measure aside and puts another one in its place, so that a variant always fits the measure that it is a variant of.
 */
export interface Layout {
  readonly meter: Meter;
  /** By letter, ascending. */
  readonly parts: readonly LayoutPart[];
  readonly form: readonly string[];
}

export type StructureProblem = Problem<
  | 'not-there'
  | 'nothing-left'
  | 'too-many-measures'
  | 'too-long'
  | 'order'
  | 'silent-time'
  | 'endings'
  | 'split'
  | 'join'
  | 'move'
  | 'length'
  | 'pickup'
  | 'letter'
  | 'chord'
  | 'part',
  { readonly measure?: MeasureId; readonly part?: string }
>;

export const MAX_FORM = 32;
/** Measures of a tune, each counted once. */
export const MAX_TUNE = 256;
/** Measures of one pass, repeats played out. */
export const MAX_PLAYED = 2048;
export const LETTERS: readonly string[] = [...'ABCDEFGHIJKLMNOPQRSTUVWXYZ'];

export function refuse(
  code: StructureProblem['code'],
  words: string,
  where: StructureProblem['where'] = {},
): Result<never, StructureProblem> {
  return fail({ code, where, words });
}

/** The measures of a part that are in the tune. */
export function presentIn(part: LayoutPart): readonly PlainMeasure[] {
  return part.entries.filter(({ aside }) => !aside).map(({ measure }) => measure);
}

/** The parts that have measures in the tune. */
export function partsOf(layout: Pick<Layout, 'parts'>): readonly Part[] {
  return layout.parts
    .map((part) => ({ letter: part.letter, measures: presentIn(part) }))
    .filter(({ measures }) => measures.length > 0);
}

/** The structure as the tune has it. */
export function tuneOf(layout: Layout): Pick<Tune, 'meter' | 'parts' | 'form'> {
  return { meter: layout.meter, parts: partsOf(layout), form: layout.form };
}

/** How often a pass plays a part. */
export function timesOf(layout: Layout, letter: string): number {
  return layout.form.filter((one) => one === letter).length;
}

/** Where a measure stands, in the tune or laid aside. */
export interface Found {
  readonly part: LayoutPart;
  readonly entry: Entry;
  /** Among all entries of the part. */
  readonly index: number;
}

export function find(layout: Layout, id: MeasureId): Found | undefined {
  for (const part of layout.parts) {
    const index = part.entries.findIndex(({ measure }) => measure.id === id);
    const entry = part.entries[index];
    if (entry) return { part, entry, index };
  }
  return undefined;
}

/** A measure that is in the tune. */
export function present(layout: Layout, id: MeasureId): Result<Found, StructureProblem> {
  const found = find(layout, id);
  if (found && !found.entry.aside) return ok(found);
  return refuse('not-there', 'That measure is no longer in the tune. Somebody has changed it.', {
    measure: id,
  });
}

export function partCalled(layout: Layout, letter: string): Result<LayoutPart, StructureProblem> {
  const part = layout.parts.find((one) => one.letter === letter);
  if (part && presentIn(part).length > 0) return ok(part);
  return refuse('not-there', `There is no part ${letter} any more.`, { part: letter });
}

export function withEntries(layout: Layout, letter: string, entries: readonly Entry[]): Layout {
  return {
    ...layout,
    parts: layout.parts.map((part) => (part.letter === letter ? { ...part, entries } : part)),
  };
}

/** "measure 3", "the pickup of part A". */
export function measureName(layout: Layout, id: MeasureId): string {
  let number = 0;
  for (const { letter, measures } of partsOf(layout)) {
    for (const [i, measure] of measures.entries()) {
      const isPickup = i === 0 && measure.startsAt > 0;
      if (!isPickup) number += 1;
      if (measure.id === id) return isPickup ? `the pickup of part ${letter}` : `measure ${number}`;
    }
  }
  return 'a measure that was laid aside';
}

function shapeProblem(layout: Layout, { id, startsAt, ticks, strokes }: PlainMeasure) {
  const { meter } = layout;
  const measure = { id, startsAt, ticks, strokes, melody: [] };
  const fits = startsAt >= 0 && ticks > 0 && startsAt + ticks <= meter.measure;
  return fits && checkFill(measureOf(meter, measure)).length === 0
    ? undefined
    : `That would leave ${measureName(layout, id)} with strokes that do not add up.`;
}

/** The first time through a part in which nothing of it would be played. */
function silentTime({ parts, form }: Pick<Tune, 'parts' | 'form'>) {
  const times = new Map<string, number>();
  for (const letter of form) {
    const time = (times.get(letter) ?? 0) + 1;
    times.set(letter, time);
    const measures = parts.find((part) => part.letter === letter)?.measures ?? [];
    if (!measures.some(({ endings }) => !endings || endings.includes(time)))
      return { letter, time };
  }
  return undefined;
}

/** A structure that was changed, if it is one that can be played; a part without measures leaves the order of parts. */
export function checked(layout: Layout): Result<Layout, StructureProblem> {
  const parts = partsOf(layout);
  const letters = new Set(parts.map(({ letter }) => letter));
  const form = layout.form.filter((letter) => letters.has(letter));
  const measures = parts.flatMap((part) => part.measures);
  if (measures.length === 0)
    return refuse('nothing-left', 'That is the last measure. A tune has at least one.');
  if (measures.length > MAX_TUNE)
    return refuse('too-many-measures', `A board holds ${MAX_TUNE} measures at most.`);
  if (form.length === 0)
    return refuse(
      'nothing-left',
      'Nothing would be played then. Put another part into the order of parts first.',
    );
  if (form.length > MAX_FORM)
    return refuse('order', `A pass plays ${MAX_FORM} parts at most, repeats counted.`);
  const silent = silentTime({ parts, form });
  if (silent)
    return refuse(
      'silent-time',
      `Time ${silent.time} through part ${silent.letter} would play nothing at all. Let a measure of it be played that time.`,
      { part: silent.letter },
    );
  const made = { ...layout, form };
  if (playOrder({ parts, form }).length > MAX_PLAYED)
    return refuse('too-long', `A pass has ${MAX_PLAYED} measures at most, repeats played out.`);
  const wrong = measures.map((one) => shapeProblem(made, one)).find((words) => words !== undefined);
  return wrong === undefined ? ok(made) : refuse('length', wrong);
}
