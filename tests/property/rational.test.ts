import fc from 'fast-check';
import { expect, test } from 'vitest';
import { add, compare, divide, floor, multiply, rational, subtract } from '../../lib/rational';

const RUNS = { seed: 1, numRuns: 300 };
const whole = fc.bigInt({ min: -(10n ** 30n), max: 10n ** 30n });
const fraction = fc
  .tuple(whole, whole)
  .filter(([, below]) => below !== 0n)
  .map(([above, below]) => rational(above, below));

test('sums and products undo each other', () =>
  fc.assert(
    fc.property(fraction, fraction, (a, b) => {
      expect(subtract(add(a, b), b)).toEqual(a);
      if (b.numerator !== 0n) expect(divide(multiply(a, b), b)).toEqual(a);
    }),
    RUNS,
  ));

test('the order is the sign of the difference, and equal fractions are written alike', () =>
  fc.assert(
    fc.property(fraction, fraction, whole, (a, b, factor) => {
      const { numerator } = subtract(a, b);
      expect(compare(a, b)).toBe(numerator < 0n ? -1 : numerator > 0n ? 1 : 0);
      if (factor !== 0n) expect(rational(a.numerator * factor, a.denominator * factor)).toEqual(a);
    }),
    RUNS,
  ));

test('rounding down leaves less than one', () =>
  fc.assert(
    fc.property(fraction, (a) => {
      const rest = subtract(a, rational(floor(a)));
      expect(compare(rest, rational(0))).toBeGreaterThanOrEqual(0);
      expect(compare(rest, rational(1))).toBeLessThan(0);
    }),
    RUNS,
  ));
