import { describe, expect, test } from 'vitest';
import { mmBetween, nutToFret, SCALE_MM } from '../../../lib/hands/neck-distance';

// Source: computed from L * (1 - 2^(-n/12)), L = 26.25 in, to four decimals, by other means than this code.
test.each([
  [1, 1.4733],
  [2, 2.8639],
  [5, 6.5847],
  [7, 8.7302],
  [12, 13.125],
  [17, 16.4174],
  [22, 18.8838],
])('on a scale of 26.25 in fret %i lies %f in from the nut', (fret, inches) => {
  expect(nutToFret(fret, 26.25)).toBeCloseTo(inches, 4);
});

// Source: published web table of fret positions for a scale of 25 in (what each fret leaves of the string).
test.each([
  [1, 23.597],
  [2, 22.272],
  [5, 18.729],
  [7, 16.685],
])('on a scale of 25 in fret %i leaves %f in', (fret, inches) => {
  expect(25 - nutToFret(fret, 25)).toBeCloseTo(inches, 3);
});

describe('the rule of the fret makers', () => {
  // Source: M. Koch, Building Electric Guitars: nut to first fret = L / 17.817.
  test('the first fret lies at the scale divided by 17.817', () => {
    expect(nutToFret(1)).toBeCloseTo(SCALE_MM / 17.817, 2);
  });

  // Source: fret n leaves L / 2^(n/12), so that fret 12 halves the string.
  test('fret 12 halves the string', () => {
    expect(nutToFret(12)).toBeCloseTo(SCALE_MM / 2, 9);
  });
});

test('the distance between two frets is that of the formula, either way round', () => {
  for (const [a, b] of [
    [0, 22],
    [2, 9],
    [9, 2],
    [5, 5],
  ] as const)
    expect(mmBetween(a, b)).toBeCloseTo(Math.abs(nutToFret(b) - nutToFret(a)), 9);
});

test.each([-1, 1.5, Number.NaN])('fret %f is our mistake', (fret) => {
  expect(() => nutToFret(fret)).toThrow(RangeError);
  expect(() => mmBetween(0, fret)).toThrow(RangeError);
});
