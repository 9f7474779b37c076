import type { Result } from '../result';
import { ok } from '../result';
import type { PlainMeasure } from '../tune';
import type { MeasureId, Ticks } from '../units';
import type { Entry, Layout, StructureProblem } from './layout';
import { find, measureName, present, presentIn, refuse, withEntries } from './layout';
import { restStroke } from './pieces';
import { inPlaceOf, joinInto, lengthenedTo, replaced, splitInto } from './replace';

type Changed = Result<Layout, StructureProblem>;

/** A measure of rest. */
export function emptyMeasure(id: MeasureId, startsAt: Ticks, ticks: Ticks): PlainMeasure {
  return { id, startsAt, ticks, strokes: [restStroke(0, ticks)], melody: [] };
}

/** A measure before or after another one, played at the same times as that: empty, or the same music once more. */
export function added(
  layout: Layout,
  beside: MeasureId,
  where: 'before' | 'after',
  copy: boolean,
  id: MeasureId,
): Changed {
  const found = present(layout, beside);
  if (!found.ok) return found;
  const { part, entry, index } = found.value;
  const { measure } = entry;
  const empty = emptyMeasure(id, 0, layout.meter.measure);
  const { endings } = measure;
  const made = copy ? { ...measure, id } : { ...empty, ...(endings ? { endings } : {}) };
  const at = where === 'before' ? index : index + 1;
  return ok(
    withEntries(
      layout,
      part.letter,
      part.entries.toSpliced(at, 0, { measure: made, aside: false }),
    ),
  );
}

function marked(layout: Layout, ids: readonly MeasureId[], aside: boolean): Layout {
  return {
    ...layout,
    parts: layout.parts.map((part) => ({
      ...part,
      entries: part.entries.map((entry) =>
        ids.includes(entry.measure.id) ? { ...entry, aside } : entry,
      ),
    })),
  };
}

/** Lays a measure aside. */
export function removed(layout: Layout, id: MeasureId): Changed {
  const found = present(layout, id);
  return found.ok ? ok(marked(layout, [id], true)) : found;
}

/** Puts a measure that was laid aside back into its place; what had been made of it goes. */
export function putBack(layout: Layout, id: MeasureId): Changed {
  const found = find(layout, id);
  if (!found?.entry.aside)
    return refuse('not-there', 'That measure is in the tune already.', { measure: id });
  const { now, again } = inPlaceOf(layout, found.entry.measure) ?? { now: [], again: [id] };
  const made = marked(marked(layout, now, true), again, false);
  const letters = again.flatMap((one) => find(layout, one)?.part.letter ?? []);
  const missing = letters.find((letter) => !made.form.includes(letter));
  const gone = missing !== undefined && isGone(layout, missing);
  return ok(gone ? { ...made, form: [...made.form, missing] } : made);
}

function isGone(layout: Layout, letter: string): boolean {
  const part = layout.parts.find((one) => one.letter === letter);
  return !part || presentIn(part).length === 0;
}

/** Two measures of one, cut before a place inside it. */
export function split(layout: Layout, id: MeasureId, at: Ticks): Changed {
  const found = present(layout, id);
  if (!found.ok) return found;
  const { measure } = found.value.entry;
  if (!Number.isInteger(at) || at <= 0 || at >= measure.ticks)
    return refuse(
      'split',
      'A measure is split before a slot inside it. Choose a slot after the first.',
      { measure: id },
    );
  return ok(replaced(layout, [id], splitInto(layout, measure, at)));
}

/** The next measure of the same part. */
export function nextOf(layout: Layout, id: MeasureId): PlainMeasure | undefined {
  const found = find(layout, id);
  if (!found) return undefined;
  const measures = presentIn(found.part);
  return measures[measures.findIndex((one) => one.id === id) + 1];
}

/** One measure of a measure and the next one of its part. */
export function joined(layout: Layout, id: MeasureId): Changed {
  const found = present(layout, id);
  if (!found.ok) return found;
  const { measure } = found.value.entry;
  const next = nextOf(layout, id);
  const name = measureName(layout, id);
  const where = { measure: id };
  if (!next)
    return refuse(
      'join',
      `After ${name} the part ends, so there is nothing to join it with.`,
      where,
    );
  const nextName = measureName(layout, next.id);
  if (measure.startsAt + measure.ticks + next.ticks > layout.meter.measure)
    return refuse(
      'join',
      `Together ${name} and ${nextName} are longer than a measure of ${layout.meter.name}. Shorten one of them first.`,
      where,
    );
  if (measure.endings?.join() !== next.endings?.join())
    return refuse(
      'join',
      `They are not played at the same times: ${name} and ${nextName} cannot be one measure.`,
      where,
    );
  return ok(replaced(layout, [id, next.id], [joinInto(layout, measure, next)]));
}

/** Another length of a measure: its end is cut off, or a rest is put there. */
export function withTicks(layout: Layout, id: MeasureId, ticks: Ticks): Changed {
  const found = present(layout, id);
  if (!found.ok) return found;
  const { measure } = found.value.entry;
  const { meter } = layout;
  const where = { measure: id };
  if (measure.startsAt + ticks > meter.measure)
    return refuse('length', `A measure of ${meter.name} is full with that.`, where);
  if (!Number.isInteger(ticks) || ticks < 1)
    return refuse('length', 'A measure has at least one slot. Take it out instead.', where);
  if (ticks === measure.ticks) return ok(layout);
  return ok(replaced(layout, [id], [lengthenedTo(layout, measure, ticks)]));
}

/** A measure one place earlier or later; over the edge of its part into the neighbouring one. */
export function moved(layout: Layout, id: MeasureId, by: -1 | 1): Changed {
  const found = present(layout, id);
  if (!found.ok) return found;
  const { part, entry } = found.value;
  const measures = presentIn(part);
  const neighbour = measures[measures.findIndex((one) => one.id === id) + by];
  const left = part.entries.filter((one) => one !== entry);
  if (neighbour) {
    const at = left.findIndex(({ measure }) => measure.id === neighbour.id) + (by === 1 ? 1 : 0);
    return ok(withEntries(layout, part.letter, left.toSpliced(at, 0, entry)));
  }
  const used = layout.parts.filter((one) => presentIn(one).length > 0);
  const other = used[used.indexOf(part) + by];
  const way = by === 1 ? 'last' : 'first';
  if (!other)
    return refuse('move', `It is the ${way} measure of the tune already.`, { measure: id });
  if (measures.length === 1)
    return refuse(
      'move',
      `It is the only measure of part ${part.letter}. Put the parts together instead, or take it out.`,
      { measure: id },
    );
  const entries: readonly Entry[] =
    by === 1 ? [entry, ...other.entries] : [...other.entries, entry];
  return ok(withEntries(withEntries(layout, part.letter, left), other.letter, entries));
}
