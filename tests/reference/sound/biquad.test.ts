import { describe, expect, test } from 'vitest';
import type { BiquadShape } from '../../../lib/sound/biquad';
import { Biquad, highPassShape, peakShape } from '../../../lib/sound/biquad';

const RATE = 48_000;

/** Gain in dB at a frequency, from the filter's answer to a single 1. */
function gainAt(shape: BiquadShape, hz: number): number {
  const answer = new Float64Array(16_384);
  answer[0] = 1;
  new Biquad(shape).render(answer, 0, answer.length);
  let re = 0;
  let im = 0;
  for (const [i, y] of answer.entries()) {
    re += y * Math.cos((2 * Math.PI * hz * i) / RATE);
    im += y * Math.sin((2 * Math.PI * hz * i) / RATE);
  }
  return 20 * Math.log10(Math.hypot(re, im));
}

// What the Audio EQ Cookbook (R. Bristow-Johnson) says its filters do; from memory.
describe('filters against what their formulas promise', () => {
  test.each([
    [320, 1.6, 6],
    [2700, 3, -4],
    [12_000, 1, 9],
  ])('a hill at %i Hz of Q %f is %f dB high and flat far away', (hz, q, db) => {
    const shape = peakShape(RATE, hz, q, db);
    expect(gainAt(shape, hz)).toBeCloseTo(db, 4);
    expect(gainAt(shape, 5)).toBeCloseTo(0, 1);
    expect(gainAt(shape, 23_990)).toBeCloseTo(0, 1);
  });

  // Q is f / bandwidth between the points at half the gain in dB.
  test('a hill is as wide as its Q says', () => {
    const shape = peakShape(RATE, 1000, 2, 6);
    const half = Math.asinh(1 / (2 * 2));
    expect(gainAt(shape, 1000 * Math.exp(half))).toBeCloseTo(3, 1);
    expect(gainAt(shape, 1000 * Math.exp(-half))).toBeCloseTo(3, 1);
  });

  test('a high-pass of Q 1/sqrt(2) is 3 dB down at its corner and falls by 12 dB an octave', () => {
    const shape = highPassShape(RATE, 400, Math.SQRT1_2);
    expect(gainAt(shape, 400)).toBeCloseTo(-3.01, 2);
    expect(gainAt(shape, 50) - gainAt(shape, 25)).toBeCloseTo(12.04, 1);
    expect(gainAt(shape, 8000)).toBeCloseTo(0, 2);
  });

  test('a hill too near half of the sample rate is left out', () =>
    expect(gainAt(peakShape(RATE, 23_000, 1, 6), 20_000)).toBeCloseTo(0, 9));
});
