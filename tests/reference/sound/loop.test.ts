import { describe, expect, test } from 'vitest';
import { BANJO_STRING } from '../../../lib/sound/banjo';
import { loopAt, loopLoss, loopTuning } from '../../../lib/sound/loop';

// Karplus and Strong 1983, Jaffe and Smith 1983: fs/f = N + 1/2 + D, C = sin(pi f (1-D)/fs) / sin(pi f (1+D)/fs), D from 0.1 to
// 1.1. The numbers are computed from those formulas apart from our code (C to the first order, (1-D)/(1+D), or
// exact: they differ by less than 2e-4, which is a hundredth of a cent).
const LOOPS = [
  ['D3', 48_000, 50, 326, 0.4034, 0.42515],
  ['G4', 48_000, 67, 121, 0.9504, 0.02543],
  ['D5', 48_000, 74, 81, 0.2258, 0.63153],
  ['D3', 44_100, 50, 299, 0.8425, 0.0855],
  ['G4', 44_100, 67, 111, 1.0013, -0.00065],
] as const;

describe('the plain loop against published formulas', () => {
  test.each(LOOPS)('%s at %i samples a second', (_, rate, midi, delay, fraction, allpass) => {
    const loop = loopTuning(rate, 440 * 2 ** ((midi - 69) / 12));
    expect(loop.delay).toBe(delay);
    expect(loop.fraction).toBeCloseTo(fraction, 4);
    expect(Math.abs(loop.allpass - allpass)).toBeLessThan(2e-4);
  });
});

/** Phase delay (samples) and gain of a whole loop at a frequency, from its transfer function. */
function around(rate: number, hz: number, loop: ReturnType<typeof loopAt>) {
  const w = (2 * Math.PI * hz) / rate;
  const { delay, allpass: c, gain, average: s, span } = loop;
  const re = 1 - s + s * Math.cos(w * span);
  const im = -s * Math.sin(w * span);
  const over = Math.atan2(-Math.sin(w), c + Math.cos(w));
  const under = Math.atan2(-c * Math.sin(w), 1 + c * Math.cos(w));
  return {
    samples: delay - (Math.atan2(im, re) + over - under) / w,
    gain: gain * Math.hypot(re, im),
  };
}

const { ring } = BANJO_STRING;

describe('a stretched loop', () => {
  const HZ = [130.813, 196, 246.942, 391.995, 587.33, 880, 1046.5];

  test.each(HZ)('at %f Hz is one period long', (hz) => {
    for (const rate of [22_050, 44_100, 48_000, 96_000])
      expect(around(rate, hz, loopAt(rate, hz, ring(hz))).samples).toBeCloseTo(rate / hz, 6);
  });

  test.each(HZ)('at %f Hz falls by 60 dB in the time that was asked for, at both ends', (hz) => {
    for (const rate of [22_050, 44_100, 48_000, 88_200, 96_000]) {
      const loop = loopAt(rate, hz, ring(hz));
      const low = around(rate, hz, loop).gain ** (hz * ring(hz).seconds);
      const high = around(rate, 4000, loop).gain ** (hz * ring(hz).brightSeconds);
      expect(20 * Math.log10(low)).toBeCloseTo(-60, 3);
      expect(20 * Math.log10(high)).toBeCloseTo(-60, 3);
    }
  });

  test('keeps less than it gets, at every length of ringing', () => {
    for (const seconds of [0.01, 0.1, 1, 10, 1000])
      for (const hz of HZ) {
        const { gain, average } = loopLoss(48_000, hz, { seconds, brightSeconds: seconds / 5 });
        expect(gain).toBeLessThan(1);
        expect(average).toBeGreaterThan(0);
        expect(average).toBeLessThanOrEqual(0.5);
      }
  });

  test.each([0, -1, Number.NaN, 13_000])('%f Hz is refused', (hz) =>
    expect(() => loopTuning(48_000, hz)).toThrow(RangeError),
  );
});
