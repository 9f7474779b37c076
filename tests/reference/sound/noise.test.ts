import { describe, expect, test } from 'vitest';
import { Noise } from '../../../lib/sound/noise';

describe('noise', () => {
  // Marsaglia, "Xorshift RNGs", Journal of Statistical Software 8 (2003): seed 2463534242, shifts 13, 17, 5. First outputs from memory.
  test('gives the published numbers after the published seed', () => {
    const noise = new Noise(2463534242);
    expect([noise.bits(), noise.bits(), noise.bits()]).toEqual([723471715, 2497366906, 2064144800]);
  });

  test('is even: mean 0, mean square 1/3, no likeness between neighbours', () => {
    const noise = new Noise(7919);
    const values = Array.from({ length: 100_000 }, () => noise.next());
    const mean = (list: readonly number[]) => list.reduce((sum, x) => sum + x, 0) / list.length;
    expect(Math.abs(mean(values))).toBeLessThan(0.01);
    expect(mean(values.map((x) => x * x))).toBeCloseTo(1 / 3, 2);
    expect(Math.abs(mean(values.slice(1).map((x, i) => x * (values[i] ?? 0))))).toBeLessThan(0.01);
  });

  test.each([0, 0.5, Number.NaN, 2 ** 32])('%f is no seed', (seed) =>
    expect(() => new Noise(seed)).toThrow(RangeError),
  );
});
