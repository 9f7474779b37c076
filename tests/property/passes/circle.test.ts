import fc from 'fast-check';
import { expect, test } from 'vitest';
import { TURN_LENGTHS, turnsOf, whoseTurn } from '../../../lib/passes/circle';
import type { PlainMeasure, Visit } from '../../../lib/tune';
import { playOrder } from '../../../lib/tune';
import type { MeasureId } from '../../../lib/units';

const measure = (id: string, pickup = false, endings?: readonly number[]): PlainMeasure => ({
  id: id as MeasureId,
  startsAt: pickup ? 1440 : 0,
  ticks: pickup ? 480 : 1920,
  strokes: [],
  melody: [],
  ...(endings ? { endings } : {}),
});

/** A part of so many measures, perhaps with a pickup before them. */
const part = (letter: string) =>
  fc.tuple(fc.boolean(), fc.integer({ min: 1, max: 12 })).map(([pickup, count]) => ({
    letter,
    measures: [
      ...(pickup ? [measure(`${letter}0`, true)] : []),
      ...Array.from({ length: count }, (_, i) => measure(`${letter}${i + 1}`)),
    ],
  }));

const visits: fc.Arbitrary<readonly Visit[]> = fc
  .record({
    parts: fc.tuple(part('A'), part('B')),
    form: fc.array(fc.constantFrom('A', 'B'), { minLength: 1, maxLength: 6 }),
  })
  .map((tune) => playOrder(tune));
const length = fc.constantFrom(...TURN_LENGTHS);
const people = fc.integer({ min: 1, max: 12 });
const pass = fc.integer({ min: 1, max: 20 });

test('[P19] turns are counted from 0 in playing order, one after the other, and none is left out', () => {
  fc.assert(
    fc.property(visits, length, (all, one) => {
      const turns = turnsOf(all, one);
      expect(turns).toHaveLength(all.length);
      expect(turns[0]).toBe(0);
      for (const [i, turn] of turns.entries())
        if (i > 0) expect([0, 1]).toContain(turn - (turns[i - 1] ?? Number.NaN));
    }),
    { seed: 1, numRuns: 200 },
  );
});

test('[P19] a turn is one measure or at most four, stays in one time through a part, and takes its pickup along', () => {
  fc.assert(
    fc.property(visits, length, (all, one) => {
      const turns = turnsOf(all, one);
      const last = turns.at(-1) ?? 0;
      for (let turn = 0; turn <= last; turn += 1) {
        const inTurn = all.filter((_, i) => turns[i] === turn);
        const whole = inTurn.filter((visit) => visit.measure.startsAt === 0);
        expect(whole.length).toBeGreaterThanOrEqual(1);
        expect(whole.length).toBeLessThanOrEqual(one === 'line' ? 4 : 1);
        expect(new Set(inTurn.map(({ part: letter, time }) => `${letter}${time}`)).size).toBe(1);
      }
    }),
    { seed: 2, numRuns: 200 },
  );
});

test('[P19] within a pass each turn is the next person’s, so nobody has two turns more than anybody else', () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 40 }), people, pass, (turns, heads, at) => {
      const whose = Array.from({ length: turns }, (_, turn) => whoseTurn(turn, turns, heads, at));
      for (const [i, who] of whose.entries()) {
        expect(who).toBeGreaterThanOrEqual(0);
        expect(who).toBeLessThan(heads);
        if (i > 0) expect(who).toBe(((whose[i - 1] ?? Number.NaN) + 1) % heads);
      }
      const counts = Array.from({ length: heads }, (_, p) => whose.filter((w) => w === p).length);
      expect(Math.max(...counts) - Math.min(...counts)).toBeLessThanOrEqual(1);
    }),
    { seed: 3, numRuns: 300 },
  );
});

test('[P20] after as many passes as there are people everybody has had every turn once', () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 40 }), people, pass, (turns, heads, first) => {
      for (let turn = 0; turn < turns; turn += 1) {
        const whose = Array.from({ length: heads }, (_, i) =>
          whoseTurn(turn, turns, heads, first + i),
        );
        expect(new Set(whose).size).toBe(heads);
      }
    }),
    { seed: 4, numRuns: 200 },
  );
});

test('[P20] three or more people never have the last turn of a pass and the first of the next', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: 40 }),
      fc.integer({ min: 3, max: 12 }),
      pass,
      (turns, heads, at) => {
        expect(whoseTurn(turns - 1, turns, heads, at)).not.toBe(whoseTurn(0, turns, heads, at + 1));
      },
    ),
    { seed: 5, numRuns: 300 },
  );
});

test('[P20] eight measures among three people, as they go round', () => {
  const row = (at: number) => Array.from({ length: 8 }, (_, turn) => whoseTurn(turn, 8, 3, at));
  // 8 = 2 more than two rounds of three: one person further back each time.
  expect(row(1)).toEqual([0, 1, 2, 0, 1, 2, 0, 1]);
  expect(row(2)).toEqual([2, 0, 1, 2, 0, 1, 2, 0]);
  expect(row(3)).toEqual([1, 2, 0, 1, 2, 0, 1, 2]);
});

test('a circle of nobody is our own mistake', () =>
  expect(() => whoseTurn(0, 8, 0, 1)).toThrow(RangeError));
