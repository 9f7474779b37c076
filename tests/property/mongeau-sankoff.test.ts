import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { Key } from '../../lib/harmony';
import { MODES, scaleOf } from '../../lib/harmony';
import type { LineNote } from '../../lib/mongeau-sankoff';
import { lineDistance } from '../../lib/mongeau-sankoff';

const RUNS = { seed: 1, numRuns: 400 };
const note: fc.Arbitrary<LineNote> = fc.record({
  midi: fc.integer({ min: 48, max: 76 }),
  sixteenths: fc.constantFrom(2 / 3, 1, 2, 4, 8),
});
const line = fc.array(note, { maxLength: 7 });
const short = fc.array(note, { maxLength: 4 });
const keys = fc.record<Key>({
  tonic: fc.constantFrom('G', 'D', 'A', 'C'),
  mode: fc.constantFrom(...MODES),
});

const PER_SIXTEENTH = 0.348;
const PIECES = 4;

function lengthOf(notes: readonly LineNote[]): number {
  return notes.reduce((sum, { sixteenths }) => sum + sixteenths, 0);
}

/** One note against some others: the exchanges as they cost alone, and the length too much or too little. */
function together(one: LineNote, several: readonly LineNote[], scale: readonly number[]): number {
  const exchanges = several.map((other) => interval(one, other, scale));
  const off = Math.abs(one.sixteenths - lengthOf(several));
  return exchanges.reduce((sum, price) => sum + price, 0) + PER_SIXTEENTH * off;
}

/** Price of the interval over the time that both share. */
function interval(a: LineNote, b: LineNote, scale: readonly number[]): number {
  return priceOf(a.midi, b.midi, scale) * Math.min(a.sixteenths, b.sixteenths);
}

/** The prices once more, as they stand in tests/reference/mongeau-sankoff.test.ts with their sources. */
function priceOf(a: number, b: number, scale: readonly number[]): number {
  const inScale = (midi: number) => scale.indexOf(((midi % 12) + 12) % 12);
  const semitones = Math.abs(a - b) % 12;
  if (inScale(a) < 0 || inScale(b) < 0)
    return [0, 2.6, 2.3, 1, 1, 1.6, 1.8, 0.8, 1.3, 1.3, 2.2, 2.5][semitones] ?? 0;
  const [low, high] = a < b ? [a, b] : [b, a];
  let steps = 0;
  for (let midi = low + 1; midi <= high; midi++) if (inScale(midi) >= 0) steps += 1;
  return [0, 0.9, 0.2, 0.5, 0.1, 0.35, 0.8][steps % 7] ?? 0;
}

/** The least price over every way to turn one line into the other, tried one by one without a table. */
function leastOfAll(
  a: readonly LineNote[],
  b: readonly LineNote[],
  scale: readonly number[],
): number {
  const [x, ...restA] = a;
  const [y, ...restB] = b;
  if (!x) return PER_SIXTEENTH * lengthOf(b);
  if (!y) return PER_SIXTEENTH * lengthOf(a);
  const ways = [
    PER_SIXTEENTH * x.sixteenths + leastOfAll(restA, b, scale),
    PER_SIXTEENTH * y.sixteenths + leastOfAll(a, restB, scale),
  ];
  for (let k = 1; k <= Math.min(PIECES, b.length); k++)
    ways.push(together(x, b.slice(0, k), scale) + leastOfAll(restA, b.slice(k), scale));
  for (let k = 2; k <= Math.min(PIECES, a.length); k++)
    ways.push(together(y, a.slice(0, k), scale) + leastOfAll(a.slice(k), restB, scale));
  return Math.min(...ways);
}

test('the distance is the least over all ways, tried one by one', () => {
  fc.assert(
    fc.property(short, short, keys, (a, b, key) => {
      const scale = scaleOf(key);
      expect(lineDistance(a, b, scale)).toBeCloseTo(leastOfAll(a, b, scale), 9);
    }),
    { seed: 1, numRuns: 600 },
  );
});

test('both lines and the key moved by the same number of semitones are as far apart', () => {
  fc.assert(
    fc.property(line, line, keys, fc.integer({ min: -6, max: 6 }), (a, b, key, by) => {
      const scale = scaleOf(key);
      const moved = (notes: readonly LineNote[]) =>
        notes.map((each) => ({ ...each, midi: each.midi + by }));
      const elsewhere = scale.map((pitch) => (pitch + by + 12) % 12);
      expect(lineDistance(moved(a), moved(b), elsewhere)).toBeCloseTo(lineDistance(a, b, scale), 9);
    }),
    RUNS,
  );
});

test('both lines twice as slow are twice as far apart', () => {
  fc.assert(
    fc.property(line, line, keys, (a, b, key) => {
      const scale = scaleOf(key);
      const slow = (notes: readonly LineNote[]) =>
        notes.map((each) => ({ ...each, sixteenths: each.sixteenths * 2 }));
      expect(lineDistance(slow(a), slow(b), scale)).toBeCloseTo(2 * lineDistance(a, b, scale), 9);
    }),
    RUNS,
  );
});

test('both lines backwards are as far apart', () => {
  fc.assert(
    fc.property(line, line, keys, (a, b, key) => {
      const scale = scaleOf(key);
      expect(lineDistance(a.toReversed(), b.toReversed(), scale)).toBeCloseTo(
        lineDistance(a, b, scale),
        9,
      );
    }),
    RUNS,
  );
});

test('two lines are at least as far apart as their lengths are', () => {
  fc.assert(
    fc.property(line, line, keys, (a, b, key) => {
      const off = PER_SIXTEENTH * Math.abs(lengthOf(a) - lengthOf(b));
      expect(lineDistance(a, b, scaleOf(key))).toBeGreaterThanOrEqual(off - 1e-9);
    }),
    RUNS,
  );
});
