import { describe, expect, test } from 'vitest';
import { NO_CLOCK, readClock, STEP_MS, sampleOf, withExchange } from '../../lib/clock';

describe('offset and delay of an exchange of four times', () => {
  // RFC 5905 section 8: offset = ((T2-T1)+(T3-T4))/2, delay = (T4-T1)-(T3-T2); worked by hand for these times.
  test('the worked exchange', () => {
    const { offset, delay } = sampleOf({ t1: 10_000, t2: 13_020, t3: 13_025, t4: 10_065 });
    expect(offset).toBeCloseTo(2990, 9);
    expect(delay).toBeCloseTo(60, 9);
  });

  test('a clock that has heard only that goes by it, within half its delay', () => {
    const clock = withExchange(NO_CLOCK, { t1: 10_000, t2: 13_020, t3: 13_025, t4: 10_065 });
    expect(readClock(clock, 10_065)?.offset).toBeCloseTo(2990, 9);
    expect(readClock(clock, 10_065)?.within).toBeCloseTo(30, 9);
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

// RFC 5905 section 11.3: STEPT, the step threshold, is 0.128 s (0.125 s in the code skeleton of its appendix).
test('a clock is set, not slewed, beyond 128 ms', () => expect(STEP_MS).toBe(128));
