import type { Ticks } from '../units';

/** A printed note value. */
export interface Value {
  readonly ticks: Ticks;
  /** Beams or flags: 0 for a quarter and longer. */
  readonly beams: 0 | 1 | 2 | 3;
  readonly stem: 'none' | 'half' | 'full';
  readonly dotted: boolean;
  /** One of three in the time of two. */
  readonly triplet: boolean;
}

type Plain = Omit<Value, 'dotted' | 'triplet'>;

/** Whole, half, quarter, eighth, sixteenth, thirty-second, in ticks of 480 a quarter. */
const PLAIN: readonly Plain[] = [
  { ticks: 1920, beams: 0, stem: 'none' },
  { ticks: 960, beams: 0, stem: 'half' },
  { ticks: 480, beams: 0, stem: 'full' },
  { ticks: 240, beams: 1, stem: 'full' },
  { ticks: 120, beams: 2, stem: 'full' },
  { ticks: 60, beams: 3, stem: 'full' },
];

/** Every value that is printed as one sign, longest first. */
const VALUES: readonly Value[] = PLAIN.flatMap((plain): readonly Value[] => [
  { ...plain, dotted: false, triplet: false },
  { ...plain, ticks: plain.ticks * 1.5, dotted: true, triplet: false },
  { ...plain, ticks: (plain.ticks * 2) / 3, dotted: false, triplet: true },
]).sort((a, b) => b.ticks - a.ticks);

/**
 * The values that are tied together to print a length, longest first; mostly one. A length that no sign stands for ends
 * with the nearest shorter one, and none is shorter than a thirty-second.
 */
export function valuesOf(length: Ticks): readonly Value[] {
  const exact = VALUES.find(({ ticks }) => ticks === length);
  if (exact) return [exact];
  const straight = VALUES.filter(({ triplet }) => !triplet);
  const values: Value[] = [];
  for (let left = length; left > 0; ) {
    const next = straight.find(({ ticks }) => ticks <= left);
    if (!next) break;
    values.push(next);
    left -= next.ticks;
  }
  return values.length > 0 ? values : straight.slice(-1);
}
