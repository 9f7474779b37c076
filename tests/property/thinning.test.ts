import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { HOUR, MAX_POINTS, MAX_POINTS_SIZE, POINT_EVERY } from '../../server/limits';
import { pointsToDrop } from '../../server/rooms/thinning';
import type { PointNote } from '../../server/store/store';
import { POINT_REASONS } from '../../shared/board/past';

const NOW = 1_700_000_000_000;
const DAY = 24 * HOUR;

function note(number: number, ageMs: number, why: PointNote['why'], size = 1000): PointNote {
  return { number, atMs: NOW - ageMs, why, mark: '', size };
}

const points = fc
  .array(
    fc.record({
      age: fc.oneof(fc.nat(3 * HOUR), fc.nat(4 * DAY), fc.nat(400 * DAY)),
      why: fc.constantFrom(...POINT_REASONS),
      size: fc.oneof(fc.nat(200_000), fc.nat(MAX_POINTS_SIZE)),
    }),
    { maxLength: 150 },
  )
  .map((all) => all.map(({ age, why, size }, at) => note(at + 1, age, why, size)));

const stays = (all: readonly PointNote[], now = NOW) => {
  const drop = new Set(pointsToDrop(all, now));
  return all.filter(({ number }) => !drop.has(number));
};

describe('which kept points stay', () => {
  test('never too many or too large together, the newest always, and once thinned nothing more goes', () => {
    fc.assert(
      fc.property(points, (all) => {
        const left = stays(all);
        expect(left.length).toBeLessThanOrEqual(MAX_POINTS);
        const size = left.reduce((sum, point) => sum + point.size, 0);
        if (left.length > 1) expect(size).toBeLessThanOrEqual(MAX_POINTS_SIZE);
        expect(left.at(-1)).toEqual(all.at(-1));
        expect(stays(left)).toEqual(left);
      }),
      { seed: 8, numRuns: 300 },
    );
  });

  test('what was agreed or closed, or was before a return, goes only when nothing else is left to go, the oldest first', () => {
    fc.assert(
      fc.property(points, (all) => {
        const left = stays(all);
        const numbers = new Set(left.map(({ number }) => number));
        const gone = all.filter(({ number, why }) => why !== 'time' && !numbers.has(number));
        if (gone.length === 0) return;
        const newest = all.at(-1)?.number;
        expect(left.filter(({ number, why }) => why === 'time' && number !== newest)).toEqual([]);
        const last = Math.max(...gone.map(({ number }) => number));
        const others = left.filter(({ number, why }) => why !== 'time' && number !== newest);
        for (const { number } of others) expect(number).toBeGreaterThan(last);
      }),
      { seed: 8, numRuns: 300 },
    );
  });

  test('ten hours of work every ten minutes leave three hours whole and an hour each before', () => {
    const all = Array.from({ length: 60 }, (_, at) =>
      note(at + 1, (60 - at) * POINT_EVERY - 1, 'time'),
    );
    const left = stays(all);
    const recent = left.filter(({ atMs }) => NOW - atMs < 3 * HOUR);
    expect(recent).toHaveLength(18);
    const before = left.filter(({ atMs }) => NOW - atMs >= 3 * HOUR);
    expect(new Set(before.map(({ atMs }) => Math.floor(atMs / HOUR))).size).toBe(before.length);
    expect(before.length).toBeGreaterThanOrEqual(7);
    expect(before.length).toBeLessThanOrEqual(8);
  });

  test('a year later the agreements of a term are there, of the rest a point a month', () => {
    const all = Array.from({ length: 40 }, (_, at) => {
      const age = 365 * DAY - at * DAY;
      return [note(at * 2 + 1, age, 'agreed'), note(at * 2 + 2, age - HOUR, 'time')];
    }).flat();
    const left = stays(all);
    expect(left.filter(({ why }) => why === 'agreed')).toHaveLength(40);
    expect(left.filter(({ why }) => why === 'time').length).toBeLessThanOrEqual(4);
  });
});
