import type { Ms } from './units';

/** One exchange of four times: t1 asked and t4 answered on our clock, t2 and t3 on the server's. All in ms. */
export interface Exchange {
  readonly t1: Ms;
  readonly t2: Ms;
  readonly t3: Ms;
  readonly t4: Ms;
}

/** What an exchange tells. The true offset is within `delay / 2` of `offset`. */
export interface ClockSample {
  /** Server time minus our time. */
  readonly offset: Ms;
  /** Time on the way, there and back. */
  readonly delay: Ms;
}

/** Samples that are kept. Source: NTP's clock filter, RFC 5905 section 10, keeps eight. */
export const KEPT_SAMPLES = 8;

/** Source: RFC 5905 section 8; checked in tests/reference/clock.test.ts */
export function sampleOf({ t1, t2, t3, t4 }: Exchange): ClockSample {
  return { offset: (t2 - t1 + (t3 - t4)) / 2, delay: t4 - t1 - (t3 - t2) };
}

/** The samples with one more, at most KEPT_SAMPLES, newest last. */
export function withSample(
  samples: readonly ClockSample[],
  sample: ClockSample,
): readonly ClockSample[] {
  return [...samples, sample].slice(-KEPT_SAMPLES);
}

/** The sample to go by: the one with the least delay, the newer of two; undefined before the first. */
export function bestSample(samples: readonly ClockSample[]): ClockSample | undefined {
  return samples.reduce<ClockSample | undefined>(
    (best, sample) => (best === undefined || sample.delay <= best.delay ? sample : best),
    undefined,
  );
}
