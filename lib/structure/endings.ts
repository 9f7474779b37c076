import type { Result } from '../result';
import { ok } from '../result';
import type { PlainMeasure } from '../tune';
import type { MeasureId } from '../units';
import type { Entry, Layout, LayoutPart, StructureProblem } from './layout';
import { partCalled, present, presentIn, refuse, timesOf, withEntries } from './layout';
import { emptyMeasure } from './measures';
import { lengthenedTo, replaced } from './replace';

type Changed = Result<Layout, StructureProblem>;

function playedAt(measure: PlainMeasure, endings: readonly number[] | undefined): PlainMeasure {
  const { endings: _, ...rest } = measure;
  return endings ? { ...rest, endings } : rest;
}

function withMeasure(part: LayoutPart, measure: PlainMeasure): readonly Entry[] {
  return part.entries.map((entry) =>
    entry.measure.id === measure.id ? { ...entry, measure } : entry,
  );
}

/** At which times through its part a measure is played; every time means always. */
export function withTimes(layout: Layout, id: MeasureId, times: readonly number[]): Changed {
  const found = present(layout, id);
  if (!found.ok) return found;
  const { part, entry } = found.value;
  const of = timesOf(layout, part.letter);
  const wanted = [...new Set(times)].sort((a, b) => a - b);
  if (wanted.length === 0)
    return refuse('endings', 'Then it would never be played. Take the measure out instead.', {
      measure: id,
    });
  const wrong = wanted.find(
    (time) => !Number.isInteger(time) || time < 1 || time > Math.max(of, 1),
  );
  if (wrong !== undefined)
    return refuse(
      'endings',
      `Part ${part.letter} is played ${of === 1 ? 'once' : `${of} times`}, so there is no time ${wrong} through it.`,
      { measure: id },
    );
  const always = wanted.length >= Math.max(of, 1);
  const measure = playedAt(entry.measure, always ? undefined : wanted);
  return ok(withEntries(layout, part.letter, withMeasure(part, measure)));
}

/**
 * First and second endings: a measure and all after it in its part are played every time but the last, and copies of them the last time.
 * @param ids names for the copies, at least as many as there are measures from here on
 */
export function withEndings(layout: Layout, id: MeasureId, ids: readonly MeasureId[]): Changed {
  const found = present(layout, id);
  if (!found.ok) return found;
  const { part } = found.value;
  const of = timesOf(layout, part.letter);
  const where = { measure: id };
  if (of < 2)
    return refuse(
      'endings',
      `Part ${part.letter} is played only once. Play it twice in the order of parts first, then it can end in two ways.`,
      where,
    );
  const measures = presentIn(part);
  const tail = measures.slice(measures.findIndex((one) => one.id === id));
  if (tail.some(({ endings }) => endings))
    return refuse(
      'endings',
      `Part ${part.letter} already ends in different ways from here on.`,
      where,
    );
  if (ids.length < tail.length)
    throw new RangeError(`${ids.length} names for ${tail.length} copies`);
  const first = Array.from({ length: of - 1 }, (_, i) => i + 1);
  const entries = part.entries.map((entry) =>
    tail.includes(entry.measure) ? { ...entry, measure: playedAt(entry.measure, first) } : entry,
  );
  const copies = tail.map(
    (measure, i): Entry => ({
      measure: { ...playedAt(measure, [of]), id: ids[i] ?? measure.id },
      aside: false,
    }),
  );
  return ok(withEntries(layout, part.letter, [...entries, ...copies]));
}

/** The measures that end a part, one for each way in which it ends. */
function lastMeasures(layout: Layout, part: LayoutPart): readonly PlainMeasure[] {
  const measures = presentIn(part);
  const times = Array.from({ length: Math.max(1, timesOf(layout, part.letter)) }, (_, i) => i + 1);
  const lasts = times.flatMap(
    (time) => measures.findLast(({ endings }) => !endings || endings.includes(time)) ?? [],
  );
  return measures.filter((one) => lasts.includes(one));
}

/** A pickup before a part; what ends the part makes room for it, so that each time through is as long as before. */
export function withPickup(layout: Layout, letter: string, slots: number, id: MeasureId): Changed {
  const found = partCalled(layout, letter);
  if (!found.ok) return found;
  const { meter } = layout;
  const ticks = slots * meter.slot;
  const where = { part: letter };
  if ((presentIn(found.value)[0]?.startsAt ?? 0) > 0)
    return refuse('pickup', `Part ${letter} begins with a pickup already.`, where);
  if (!Number.isInteger(slots) || slots < 1 || ticks > meter.measure / 2)
    return refuse('pickup', 'A pickup has from one slot to half a measure.', where);
  const full = lastMeasures(layout, found.value).filter(
    (one) => one.startsAt === 0 && one.ticks === meter.measure,
  );
  const shorter = full.reduce(
    (made, one) => replaced(made, [one.id], [lengthenedTo(made, one, meter.measure - ticks)]),
    layout,
  );
  const part = shorter.parts.find((one) => one.letter === letter);
  const pickup: Entry = {
    measure: emptyMeasure(id, meter.measure - ticks, ticks),
    aside: false,
  };
  return ok(withEntries(shorter, letter, [pickup, ...(part?.entries ?? [])]));
}

/** Lays the pickup of a part aside; measures that had made room for it are full again. */
export function withoutPickup(layout: Layout, letter: string): Changed {
  const found = partCalled(layout, letter);
  if (!found.ok) return found;
  const { meter } = layout;
  const pickup = presentIn(found.value)[0];
  if (!pickup || pickup.startsAt === 0)
    return refuse('pickup', `Part ${letter} begins on the beat: it has no pickup.`, {
      part: letter,
    });
  const room = meter.measure - pickup.ticks;
  const short = lastMeasures(layout, found.value).filter(
    (one) => one.startsAt === 0 && one.ticks === room,
  );
  const entries = found.value.entries.map((entry) =>
    entry.measure.id === pickup.id ? { ...entry, aside: true } : entry,
  );
  return ok(
    short.reduce(
      (made, one) => replaced(made, [one.id], [lengthenedTo(made, one, meter.measure)]),
      withEntries(layout, letter, entries),
    ),
  );
}
