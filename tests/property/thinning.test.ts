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

/** The two that never go: the newest, and what was agreed last. */
const treasured = (all: readonly PointNote[]) =>
  new Set([all.at(-1)?.number, all.findLast(({ why }) => why === 'agreed')?.number]);

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
        const never = treasured(all);
        if (left.some(({ number }) => !never.has(number)))
          expect(size).toBeLessThanOrEqual(MAX_POINTS_SIZE);
        for (const number of never)
          if (number !== undefined) expect(left.map((point) => point.number)).toContain(number);
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
        const never = treasured(all);
        expect(left.filter(({ number, why }) => why === 'time' && !never.has(number))).toEqual([]);
        const last = Math.max(...gone.map(({ number }) => number));
        const others = left.filter(({ number, why }) => why !== 'time' && !never.has(number));
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

  test('with a clock that is set back and ahead by hours, days and years, points stay bounded, what was agreed last stays, and of what goes something near stays', () => {
    const YEAR = 365 * DAY;
    const step = fc.record({
      jump: fc.oneof(
        { weight: 8, arbitrary: fc.integer({ min: 1, max: 3 * POINT_EVERY }) },
        { weight: 1, arbitrary: fc.integer({ min: -DAY, max: DAY }) },
        { weight: 1, arbitrary: fc.constantFrom(YEAR, -YEAR, 40 * YEAR, -40 * YEAR) },
      ),
      why: fc.oneof(
        { weight: 6, arbitrary: fc.constant('time' as const) },
        fc.constantFrom(...POINT_REASONS),
      ),
    });
    fc.assert(
      fc.property(fc.array(step, { minLength: 1, maxLength: 200 }), (steps) => {
        let now = NOW;
        let all: readonly PointNote[] = [];
        for (const [at, { jump, why }] of steps.entries()) {
          now += jump;
          const before = [...all, { number: at + 1, atMs: now, why, mark: '', size: 1000 }];
          all = stays(before, now);
          expect(all.length).toBeLessThanOrEqual(MAX_POINTS);
          const left = new Set(all.map(({ number }) => number));
          for (const number of treasured(before)) if (number) expect(left).toContain(number);
          if (before.length > MAX_POINTS) continue;
          for (const gone of before.filter(({ number }) => !left.has(number))) {
            expect(gone.why).toBe('time');
            const isNear = ({ number, atMs }: PointNote) =>
              number > gone.number && Math.abs(atMs - gone.atMs) < 30 * DAY;
            expect(all.some(isNear)).toBe(true);
          }
        }
      }),
      { seed: 9, numRuns: 200 },
    );
  });

  test('sixty returns after an agreement, or a newest point of any size, do not push out what was agreed', () => {
    const returns = Array.from({ length: MAX_POINTS + 5 }, (_, at) => note(at + 2, 0, 'return'));
    const left = stays([note(1, HOUR, 'agreed'), ...returns]);
    expect(left[0]?.why).toBe('agreed');
    expect(left).toHaveLength(MAX_POINTS);
    const large = stays([note(1, HOUR, 'agreed'), note(2, 0, 'time', 2 * MAX_POINTS_SIZE)]);
    expect(large).toHaveLength(2);
  });
});
