import * as Y from 'yjs';
import type { Result } from '../../lib/result';
import { fail, ok } from '../../lib/result';
import type { Restructured, StructureChange } from '../../lib/structure/change';
import { restructured } from '../../lib/structure/change';
import type { Entry, Layout, StructureProblem } from '../../lib/structure/layout';
import { find, presentIn, withEntries } from '../../lib/structure/layout';
import { checkFill } from '../../lib/tab/fill';
import type { PlainMeasure } from '../../lib/tune';
import { measureOf } from '../../lib/tune';
import { layoutIn, placedIn } from './layout';
import type { LaidAside } from './schema';
import { ASIDE_PREFIX, LEAD } from './schema';
import type { MeasureValue } from './values';
import { BY_HAND, measureValueOf } from './write';

/** Places nearer than this leave no room between them; then all are numbered anew. */
const NARROW = 1e-6;

/** Positions of a longest run of ascending numbers, so that as few measures as may be are written anew. Cost: quadratic. */
function ascending(numbers: readonly (number | undefined)[]): ReadonlySet<number> {
  const best: { readonly length: number; readonly before: number }[] = [];
  for (const [i, number] of numbers.entries()) {
    let [length, before] = [number === undefined ? 0 : 1, -1];
    for (let j = 0; number !== undefined && j < i; j++) {
      const other = numbers[j];
      const run = best[j]?.length ?? 0;
      if (other !== undefined && other < number && run + 1 > length)
        [length, before] = [run + 1, j];
    }
    best.push({ length, before });
  }
  const most = Math.max(0, ...best.map(({ length }) => length));
  const kept = new Set<number>();
  let at = most === 0 ? -1 : best.findIndex(({ length }) => length === most);
  while (at >= 0) {
    kept.add(at);
    at = best[at]?.before ?? -1;
  }
  return kept;
}

/** A place for each of a row of measures, ascending; those that stand in order keep theirs. */
export function placesFor(numbers: readonly (number | undefined)[]): readonly number[] {
  const kept = ascending(numbers);
  const places: number[] = [];
  for (let i = 0; i < numbers.length; i++) {
    const own = numbers[i];
    if (kept.has(i) && own !== undefined) {
      places.push(own);
      continue;
    }
    let next = i;
    while (next < numbers.length && !kept.has(next)) next += 1;
    const from = places.at(-1);
    const to = numbers[next];
    const steps = next - i + 1;
    if (to === undefined) places.push((from ?? -1) + 1);
    else places.push(from === undefined ? to - steps + 1 : from + (to - from) / steps);
  }
  const narrow = places.some((place, i) => i > 0 && place - (places[i - 1] ?? 0) < NARROW);
  return narrow ? places.map((_, i) => i) : places;
}

/** Writes a structure over another one: only what differs, in one transaction. */
function writeLayout(lead: Y.Doc, layout: Layout): void {
  const before = new Map(placedIn(lead, () => undefined).map((one) => [one.measure.id, one]));
  const measures = lead.getMap(LEAD.measures);
  const choice = lead.getMap(LEAD.choice);
  const head = lead.getMap(LEAD.head);
  lead.transact(() => {
    for (const { letter, entries } of layout.parts) {
      const places = placesFor(
        entries.map(({ measure }) => {
          const old = before.get(measure.id);
          return old?.part === letter ? old.place : undefined;
        }),
      );
      for (const [i, { measure, aside }] of entries.entries()) {
        const old = before.get(measure.id);
        const value = measureValueOf(measure, letter, places[i] ?? i);
        const was = old && measureValueOf(old.measure, old.part, old.place);
        if (!was || !sameValue(value, was)) measures.set(measure.id, value);
        const key = ASIDE_PREFIX + measure.id;
        if (aside && choice.get(key) !== true) choice.set(key, true);
        if (!aside && choice.has(key)) choice.delete(key);
      }
    }
    if (JSON.stringify(head.get('form')) !== JSON.stringify(layout.form))
      head.set('form', [...layout.form]);
  }, BY_HAND);
}

function sameValue(a: MeasureValue, b: MeasureValue): boolean {
  return JSON.stringify(a) === JSON.stringify(b);
}

/**
 * Puts measures into a tune as laid aside, each after so many of its part. One that does not add up or is in the tune already is left out.
 * @returns how many were left out
 */
export function writeLaidAside(
  lead: Y.Doc,
  asides: readonly Pick<LaidAside, 'part' | 'index' | 'measure'>[],
): number {
  let layout = layoutIn(lead);
  if (!layout || asides.length === 0) return asides.length;
  let lost = 0;
  for (const { part, index, measure } of asides.toReversed()) {
    const { meter } = layout;
    const fits = measure.startsAt + measure.ticks <= meter.measure;
    if (find(layout, measure.id) || !fits || checkFill(measureOf(meter, measure)).length > 0) {
      lost += 1;
      continue;
    }
    layout = withAside(layout, part, index, measure);
  }
  writeLayout(lead, layout);
  return lost;
}

function withAside(layout: Layout, letter: string, index: number, measure: PlainMeasure): Layout {
  const entry: Entry = { measure, aside: true };
  const part = layout.parts.find((one) => one.letter === letter);
  if (!part) return { ...layout, parts: [...layout.parts, { letter, entries: [entry] }] };
  const before = presentIn(part)[index - 1];
  const at = part.entries.findIndex((one) => one.measure.id === before?.id) + 1;
  return withEntries(layout, letter, part.entries.toSpliced(at, 0, entry));
}

/** What was done to the structure. */
export interface Reshaped extends Restructured {
  readonly before: Layout;
}

/** Changes the structure of a board's tune, or says why it cannot be. */
export function writeStructure(
  lead: Y.Doc,
  change: StructureChange,
): Result<Reshaped, StructureProblem> {
  const before = layoutIn(lead);
  if (!before)
    return fail({
      code: 'not-there',
      where: {},
      words: 'The tune is not here yet. Wait a moment.',
    });
  const made = restructured(before, change);
  if (!made.ok) return made;
  writeLayout(lead, made.value.layout);
  return ok({ ...made.value, before });
}

/** The way back and forth through what one leader edited by hand here. What others changed since stays as they left it. */
export class Handwork {
  private readonly manager: Y.UndoManager;

  constructor(lead: Y.Doc) {
    const maps = [lead.getMap(LEAD.head), lead.getMap(LEAD.measures), lead.getMap(LEAD.choice)];
    this.manager = new Y.UndoManager(maps, {
      trackedOrigins: new Set([BY_HAND]),
      captureTimeout: 0,
    });
  }

  get canUndo(): boolean {
    return this.manager.canUndo();
  }

  get canRedo(): boolean {
    return this.manager.canRedo();
  }

  undo(): void {
    this.manager.undo();
  }

  redo(): void {
    this.manager.redo();
  }

  destroy(): void {
    this.manager.destroy();
  }
}
