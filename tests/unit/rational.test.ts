import { describe, expect, test } from 'vitest';
import {
  add,
  compare,
  divide,
  floor,
  greatestDivisor,
  multiply,
  rational,
  rationalFromNumber,
  rationalText,
  subtract,
  toNumber,
} from '../../lib/rational';

const third = rational(1, 3);
const half = rational(1, 2);

describe('exact fractions', () => {
  test.each([
    ['lowest terms', rational(6, 8), '3/4'],
    ['a sign below goes above', rational(6, -8), '-3/4'],
    ['nothing is 0', rational(0, -7), '0'],
    ['a whole number needs no denominator', rational(8, 4), '2'],
    ['sum', add(third, half), '5/6'],
    ['difference', subtract(third, half), '-1/6'],
    ['product', multiply(third, half), '1/6'],
    ['quotient', divide(third, half), '2/3'],
    ['quotient by less than nothing', divide(third, rational(-1, 2)), '-2/3'],
    ['a half of the machine is a half', rationalFromNumber(-0.5), '-1/2'],
    [
      'a tenth of the machine is not a tenth',
      rationalFromNumber(0.1),
      `3602879701896397/${2n ** 55n}`,
    ],
  ])('%s', (_, value, text) => expect(rationalText(value)).toBe(text));

  test.each([
    ['less', third, half, -1],
    ['equal', rational(2, 4), half, 0],
    ['more', half, third, 1],
    ['below nothing', rational(-1, 2), rational(-1, 3), -1],
  ])('compares: %s', (_, a, b, sign) => expect(compare(a, b)).toBe(sign));

  test.each([
    [rational(7, 2), 3n],
    [rational(-7, 2), -4n],
    [rational(-4), -4n],
  ])('rounds down %o', (value, whole) => expect(floor(value)).toBe(whole));

  test.each([
    [half, 0.5],
    [rational(-1, 4), -0.25],
    [rational(3n ** 900n, 2n * 3n ** 900n + 1n), 0.5],
    [third, 1 / 3],
  ])('comes near as a number of the machine', (value, near) =>
    expect(toNumber(value)).toBeCloseTo(near, 15),
  );

  test('the greatest divisor takes signs and zeros', () =>
    expect([greatestDivisor(-12n, 18n), greatestDivisor(0n, 5n), greatestDivisor(0n, 0n)]).toEqual([
      6n,
      5n,
      0n,
    ]));

  test.each([
    () => rational(1, 0),
    () => divide(half, rational(0)),
    () => rational(0.5),
    () => rationalFromNumber(Number.NaN),
    () => rationalFromNumber(Number.POSITIVE_INFINITY),
  ])('what is no fraction is refused', (make) => expect(make).toThrow(RangeError));
});
