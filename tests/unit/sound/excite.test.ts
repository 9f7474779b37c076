import { describe, expect, test } from 'vitest';
import type { Touch } from '../../../lib/sound/excite';
import { fillTouch, touchLength } from '../../../lib/sound/excite';
import { Noise } from '../../../lib/sound/noise';
import { peakOf, RATE } from './measuring';

const DELAY = 240; // 200 Hz
const CLEAN: Touch = { level: 0.8, position: 0.125, cutoff: 3000, scratch: 0 };

function touched(touch: Touch): Float64Array {
  const out = new Float64Array(touchLength(RATE, DELAY, touch));
  expect(fillTouch(out, RATE, DELAY, touch, new Noise(1))).toBe(out.length);
  return out;
}

/** Height of the nth harmonic of what is put into the loop. */
function harmonic(samples: Float64Array, n: number): number {
  let re = 0;
  let im = 0;
  for (const [i, sample] of samples.entries()) {
    re += sample * Math.cos((2 * Math.PI * n * i) / DELAY);
    im += sample * Math.sin((2 * Math.PI * n * i) / DELAY);
  }
  return Math.hypot(re, im);
}

describe('what a finger gives to a string', () => {
  // Jaffe and Smith 1983: a string touched at 1/n of its length lacks the harmonics n, 2n, ...; here 1/8.
  test('lacks the harmonics that rest where it is touched', () => {
    for (const scratch of [0, 0.5]) {
      const samples = touched({ ...CLEAN, scratch });
      for (const n of [8, 16])
        expect(harmonic(samples, n)).toBeLessThan(0.002 * harmonic(samples, 4));
      for (const n of [1, 4, 7, 9])
        expect(harmonic(samples, n)).toBeGreaterThan(0.03 * harmonic(samples, 4));
    }
  });

  test('has nothing at 0 Hz, so that a string never leans to one side', () => {
    const samples = touched({ ...CLEAN, scratch: 0.5 });
    expect(harmonic(samples, 0)).toBeLessThan(1e-3 * harmonic(samples, 4));
  });

  test('is twice as high at twice the level', () => {
    const half = touched({ ...CLEAN, level: 0.4 });
    expect(touched(CLEAN)).toEqual(half.map((x) => 2 * x));
  });

  test('is duller with a lower cutoff', () => {
    const share = (touch: Touch) => harmonic(touched(touch), 20) / harmonic(touched(touch), 2);
    expect(share({ ...CLEAN, cutoff: 900 })).toBeLessThan(0.2 * share({ ...CLEAN, cutoff: 5000 }));
  });

  test('begins with its first samples', () => {
    const samples = touched(CLEAN);
    expect(peakOf(samples.subarray(0, 6))).toBeGreaterThan(0.9 * peakOf(samples));
  });

  test('without scratch no noise is used up', () => {
    const noise = new Noise(5);
    const out = new Float64Array(1000);
    fillTouch(out, RATE, DELAY, CLEAN, noise);
    expect(noise.next()).toBe(new Noise(5).next());
  });
});
