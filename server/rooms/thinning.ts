import type { Ms } from '../../lib/units';
import { HOUR, MAX_POINTS, MAX_POINTS_SIZE, POINT_EVERY } from '../limits';
import type { PointNote } from '../store/store';

const DAY: Ms = 24 * HOUR;

/** For how long, back from now, points that were kept only because time had passed stay one a stretch. Source: ours. */
const STRETCHES: readonly { readonly until: Ms; readonly stretch: Ms }[] = [
  { until: 3 * HOUR, stretch: POINT_EVERY },
  { until: 2 * DAY, stretch: HOUR },
  { until: 60 * DAY, stretch: DAY },
  { until: Number.POSITIVE_INFINITY, stretch: 30 * DAY },
];

function stretchOf(atMs: Ms, nowMs: Ms): string {
  const age = Math.abs(nowMs - atMs);
  const found = STRETCHES.find(({ until }) => age < until);
  const stretch = found?.stretch ?? DAY;
  return `${stretch} ${Math.floor(atMs / stretch)}`;
}

/**
 * Which points are to go. The newest stays, and what was agreed last. Of those that were kept because time had passed, the latest of each stretch stays: ten minutes
 * for three hours, an hour for two days, a day for two months, then thirty days. While there are still too many or they are too large
 * together, the oldest goes: first of those, then of the others.
 * Where a clock was set far ahead, what was kept counts as that old; one of each thirty days stays all the same.
 * @param points in the order in which they were kept
 */
export function pointsToDrop(points: readonly PointNote[], nowMs: Ms): readonly number[] {
  const newest = points.at(-1)?.number;
  const stays = new Set([newest, points.findLast(({ why }) => why === 'agreed')?.number]);
  const seen = new Set<string>();
  const thinned = points.toReversed().filter(({ number, atMs, why }) => {
    if (number === newest || why !== 'time') return true;
    const stretch = stretchOf(atMs, nowMs);
    const isFirst = !seen.has(stretch);
    seen.add(stretch);
    return isFirst;
  });
  const oldestFirst = thinned.toReversed().filter(({ number }) => !stays.has(number));
  const order = [
    ...oldestFirst.filter(({ why }) => why === 'time'),
    ...oldestFirst.filter(({ why }) => why !== 'time'),
  ];
  let count = thinned.length;
  let size = thinned.reduce((sum, point) => sum + point.size, 0);
  const over = new Set<number>();
  for (const point of order) {
    if (count <= MAX_POINTS && size <= MAX_POINTS_SIZE) break;
    over.add(point.number);
    count -= 1;
    size -= point.size;
  }
  const left = new Set(thinned.map(({ number }) => number).filter((number) => !over.has(number)));
  return points.map(({ number }) => number).filter((number) => !left.has(number));
}
