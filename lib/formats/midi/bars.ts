import type { MelodyNote } from '../../melody';
import type { Meter } from '../../rhythm';
import type { Ticks } from '../../units';
import type { BarLine, TextMeasure } from '../abc/measures';
import type { Told } from '../other-meter';
import type { Timed } from './quantise';

/** From here on bars are as long as is told, or (without that) as the tune's meter. */
export interface MeterChange {
  readonly at: Ticks;
  readonly told?: Told;
}

/** A bar of a file; the first may begin with a pickup. */
interface Bar {
  readonly from: Ticks;
  readonly to: Ticks;
  readonly told?: Told;
}

/** More measures than any tune has. */
export const MAX_MEASURES = 500;

/** All bars from the one with the first note on, in order; a change of meter inside a bar ends it. */
function barsOf(
  notes: readonly Timed[],
  meter: Meter,
  changes: readonly MeterChange[],
): readonly Bar[] {
  const first = notes[0]?.at ?? 0;
  const end = notes.reduce((latest, { at, length }) => Math.max(latest, at + length), 0);
  const bars: Bar[] = [];
  let told: Told | undefined;
  let seen = 0;
  for (let from = 0; from < end && bars.length <= MAX_MEASURES; ) {
    for (; (changes[seen]?.at ?? end) <= from; seen++) told = changes[seen]?.told;
    const next = changes[seen]?.at ?? Number.POSITIVE_INFINITY;
    const length = told?.ticks ?? meter.measure;
    const silent = Math.floor((Math.min(first, next) - from) / length);
    if (bars.length === 0 && silent > 0) {
      from += silent * length;
      continue;
    }
    const to = Math.min(from + length, next);
    const cut = to - from < length ? { name: 'its meter', ticks: to - from } : told;
    if (to > first) bars.push({ from, to, ...(cut ? { told: cut } : {}) });
    from = to;
  }
  const [bar, ...rest] = bars;
  const isPickup = bar && !bar.told && first - bar.from >= meter.measure / 2;
  return isPickup ? [{ ...bar, from: first }, ...rest] : bars;
}

function notesIn({ from, to }: Bar, notes: readonly Timed[]): readonly MelodyNote[] {
  return notes.flatMap(({ at, length, midi }): readonly MelodyNote[] => {
    const [start, end] = [Math.max(at, from), Math.min(at + length, to)];
    if (start >= end) return [];
    return [{ at: start - from, length: end - start, midi, ...(at < from ? { tied: true } : {}) }];
  });
}

const PLAIN: BarLine = { ends: 0, starts: false, double: false };

/**
 * The notes in their bars; markers on bar lines are names of parts. Leading bars of rest are left out, and where the first note comes in the
 * second half of its bar, that bar is a pickup.
 */
export function barred(
  notes: readonly Timed[],
  meter: Meter,
  changes: readonly MeterChange[],
  markers: ReadonlyMap<Ticks, string>,
): readonly TextMeasure[] {
  const bars = barsOf(notes, meter, changes);
  const lines = [...bars, undefined].map((bar): BarLine => {
    const part = bar && markers.get(bar.from);
    return part === undefined ? PLAIN : { ...PLAIN, double: true, part };
  });
  return bars.map((bar, i) => ({
    number: i + 1,
    where: { line: 1, column: 1 },
    ticks: bar.to - bar.from,
    notes: notesIn(bar, notes),
    ...(bar.told ? { told: bar.told } : {}),
    before: lines[i] ?? PLAIN,
    after: lines[i + 1] ?? PLAIN,
  }));
}
