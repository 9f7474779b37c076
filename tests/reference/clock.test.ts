import { describe, expect, test } from 'vitest';
import type { ClockSample } from '../../lib/clock';
import { bestSample, KEPT_SAMPLES, sampleOf, withSample } from '../../lib/clock';

describe('offset and delay of an exchange of four times', () => {
  // RFC 5905 section 8: offset = ((T2-T1)+(T3-T4))/2, delay = (T4-T1)-(T3-T2); worked by hand for these times.
  test('the worked exchange', () => {
    const { offset, delay } = sampleOf({ t1: 10_000, t2: 13_020, t3: 13_025, t4: 10_065 });
    expect(offset).toBeCloseTo(2990, 9);
    expect(delay).toBeCloseTo(60, 9);
  });

  test('an uneven way is wrong by half the difference, and never by more than half the delay', () => {
    for (const [out, back] of [
      [20, 40],
      [0, 100],
      [75, 5],
    ] as const) {
      const truth = 3000;
      const t2 = 10_000 + truth + out;
      const sample = sampleOf({ t1: 10_000, t2, t3: t2 + 5, t4: 10_000 + out + 5 + back });
      expect(sample.offset - truth).toBeCloseTo((out - back) / 2, 9);
      expect(Math.abs(sample.offset - truth)).toBeLessThanOrEqual(sample.delay / 2 + 1e-9);
    }
  });
});

describe('the sample that is gone by', () => {
  test('is the one with the least delay of the last eight', () => {
    let samples: readonly ClockSample[] = [];
    expect(bestSample(samples)).toBeUndefined();
    const delays = [5, 40, 30, 20, 60, 50, 45, 35, 25];
    for (const delay of delays) samples = withSample(samples, { offset: delay * 10, delay });
    expect(samples.length).toBe(KEPT_SAMPLES);
    expect(bestSample(samples)).toEqual({ offset: 200, delay: 20 }); // the 5 has been pushed out
  });
});
