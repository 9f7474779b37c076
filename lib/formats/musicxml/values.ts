import type { Ticks } from '../../units';

/** A printed note value by the name that MusicXML gives it. */
export interface Value {
  readonly ticks: Ticks;
  /** Absent for a length that no sign stands for. */
  readonly type?: string;
  readonly dots: 0 | 1;
  /** One of three in the time of two. */
  readonly triplet: boolean;
  /** Beams or flags: 0 for a quarter and longer. */
  readonly beams: number;
}

/** Source: MusicXML 4.0, note-type-value; lengths are ours, 480 ticks a quarter. */
const TYPES: readonly (readonly [type: string, ticks: Ticks, beams: number])[] = [
  ['whole', 1920, 0],
  ['half', 960, 0],
  ['quarter', 480, 0],
  ['eighth', 240, 1],
  ['16th', 120, 2],
  ['32nd', 60, 3],
  ['64th', 30, 4],
];

const STRAIGHT: readonly Value[] = TYPES.flatMap(([type, ticks, beams]): readonly Value[] => [
  { ticks, type, dots: 0, triplet: false, beams },
  { ticks: ticks * 1.5, type, dots: 1, triplet: false, beams },
]).sort((a, b) => b.ticks - a.ticks);

const TRIPLETS: readonly Value[] = TYPES.map(([type, ticks, beams]) => ({
  ticks: (ticks * 2) / 3,
  type,
  dots: 0,
  triplet: true,
  beams,
}));

const VALUES: readonly Value[] = [...STRAIGHT, ...TRIPLETS].sort((a, b) => b.ticks - a.ticks);

const SINGLE: ReadonlyMap<Ticks, readonly [Value]> = new Map(
  VALUES.map((value) => [value.ticks, [value] as const]),
);

function pairOf(length: Ticks): readonly Value[] | undefined {
  for (const value of VALUES) {
    const rest = SINGLE.get(length - value.ticks);
    if (rest) return [value, ...rest];
  }
  return undefined;
}

/** The values that are tied together to write a length, longest first; mostly one. They add up to it exactly. */
export function valuesOf(length: Ticks): readonly Value[] {
  const few = SINGLE.get(length) ?? pairOf(length);
  if (few) return few;
  const next = VALUES.find(({ ticks }) => ticks < length);
  if (!next) return [{ ticks: length, dots: 0, triplet: false, beams: 0 }];
  return [next, ...valuesOf(length - next.ticks)];
}
