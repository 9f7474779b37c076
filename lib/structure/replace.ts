import type { PlainMeasure } from '../tune';
import type { MeasureId, Ticks } from '../units';
import type { Entry, Layout } from './layout';
import { find, withEntries } from './layout';
import { joinedId, joinOf, lengthened, lengthId, pieceOf, sameMusic, splitIds } from './pieces';

/** Measures that others take the place of, and the way back: what was laid aside comes back under its own id, with its variants. */

function without(layout: Layout, ids: readonly MeasureId[]): Layout {
  return {
    ...layout,
    parts: layout.parts.map((part) => ({
      ...part,
      entries: part.entries.filter(({ measure }) => !ids.includes(measure.id)),
    })),
  };
}

/** Lays measures of one part aside and puts others right after them. */
export function replaced(
  layout: Layout,
  old: readonly MeasureId[],
  made: readonly PlainMeasure[],
): Layout {
  const letter = old[0] && find(layout, old[0])?.part.letter;
  if (letter === undefined) return layout;
  const left = without(
    layout,
    made.map(({ id }) => id),
  );
  const part = left.parts.find((one) => one.letter === letter);
  const last = old.at(-1);
  const entries = (part?.entries ?? []).flatMap((entry): readonly Entry[] => {
    const id = entry.measure.id;
    const kept = old.includes(id) ? { ...entry, aside: true } : entry;
    const fresh = made.map((measure): Entry => ({ measure, aside: false }));
    return id === last ? [kept, ...fresh] : [kept];
  });
  return withEntries(left, letter, entries);
}

function asideIn(layout: Layout): readonly PlainMeasure[] {
  return layout.parts.flatMap(({ entries }) =>
    entries.filter(({ aside }) => aside).map(({ measure }) => measure),
  );
}

/** A measure that was laid aside comes back as it was where nothing was changed since, else with what was changed. */
function back(was: PlainMeasure, untouched: boolean, now: PlainMeasure): PlainMeasure {
  return untouched ? was : { ...now, id: was.id };
}

/** The two pieces of a measure: those that it was once joined from, or new ones. */
export function splitInto(
  layout: Layout,
  whole: PlainMeasure,
  at: Ticks,
): readonly [PlainMeasure, PlainMeasure] {
  const [idA, idB] = splitIds(whole.id, at);
  const a = pieceOf(whole, idA, 0, at);
  const b = pieceOf(whole, idB, at, whole.ticks);
  const aside = asideIn(layout);
  const firsts = aside.filter((one) => one.ticks === at && one.startsAt === whole.startsAt);
  for (const first of firsts) {
    const second = aside.find(
      (one) => one.ticks === b.ticks && joinedId(first.id, one.id) === whole.id,
    );
    if (!second) continue;
    const untouched = sameMusic(joinOf(first, second, whole.id), whole);
    const shaped = { ...b, startsAt: second.startsAt };
    return [back(first, untouched, a), back(second, untouched, shaped)];
  }
  return [a, b];
}

/** One measure of two: the one that they were once split from, or a new one. */
export function joinInto(layout: Layout, a: PlainMeasure, b: PlainMeasure): PlainMeasure {
  const made = joinOf(a, b, joinedId(a.id, b.id));
  const was = asideIn(layout).find((one) => {
    const [idA, idB] = splitIds(one.id, a.ticks);
    return idA === a.id && idB === b.id;
  });
  if (!was) return made;
  const untouched =
    sameMusic(pieceOf(was, a.id, 0, a.ticks), a) &&
    sameMusic(pieceOf(was, b.id, a.ticks, was.ticks), b);
  return back(was, untouched, made);
}

/** A measure with another length: the one that had it before, or a new one. */
export function lengthenedTo(layout: Layout, measure: PlainMeasure, ticks: Ticks): PlainMeasure {
  const made = lengthened(measure, lengthId(measure.id, ticks), ticks);
  const was = asideIn(layout).find(
    (one) => one.ticks === ticks && lengthId(one.id, measure.ticks) === measure.id,
  );
  if (!was) return made;
  return back(was, sameMusic(lengthened(was, measure.id, measure.ticks), measure), made);
}

/**
 * What stands in the place of a measure that was laid aside because it was split, joined or given another length: the measures to lay
 * aside, and those that come back with it, in order.
 */
export function inPlaceOf(
  layout: Layout,
  { id, ticks }: PlainMeasure,
): { readonly now: readonly MeasureId[]; readonly again: readonly MeasureId[] } | undefined {
  const entries = layout.parts.flatMap((part) => part.entries);
  const there = entries.filter(({ aside }) => !aside).map(({ measure }) => measure);
  for (const one of there) {
    if (lengthId(id, one.ticks) === one.id) return { now: [one.id], again: [id] };
    const [first, second] = splitIds(id, one.ticks);
    const other = first === one.id && one.ticks < ticks && there.find((b) => b.id === second);
    if (other) return { now: [one.id, other.id], again: [id] };
  }
  for (const { measure: partner } of entries.filter(({ aside }) => aside)) {
    const joined = (a: MeasureId, b: MeasureId) => there.find((one) => one.id === joinedId(a, b));
    const before = joined(partner.id, id);
    if (before) return { now: [before.id], again: [partner.id, id] };
    const after = joined(id, partner.id);
    if (after) return { now: [after.id], again: [id, partner.id] };
  }
  return undefined;
}
