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

/** Source: RFC 5905 section 8; checked in tests/reference/clock.test.ts */
export function sampleOf({ t1, t2, t3, t4 }: Exchange): ClockSample {
  return { offset: (t2 - t1 + (t3 - t4)) / 2, delay: t4 - t1 - (t3 - t2) };
}

interface HeardSample extends ClockSample {
  /** When it was heard, on our clock. */
  readonly atMs: Ms;
}

/** What is known of the server's time: a value that grows with every exchange. All times `localMs` are of our own clock. */
export interface ServerClock {
  /** Newest last. */
  readonly samples: readonly HeardSample[];
  /** The offset that the samples make likely. */
  readonly target: Ms;
  /** The offset that was gone by at `sinceMs`; from there it glides to `target`. */
  readonly from: Ms;
  readonly sinceMs: Ms;
  /** Exchanges since the clock was last lost: at first it is set, later it glides. */
  readonly taken: number;
  /** The samples are of an earlier line and go as soon as a new one comes. */
  readonly stale: boolean;
}

/** Server time as far as it is known. */
export interface ClockReading {
  readonly offset: Ms;
  /** The true offset is not further away than this, as long as no clock runs off by more than `DRIFT`. */
  readonly within: Ms;
}

/** Samples that are kept: with one every two seconds a minute's worth, so that each way has had a quick moment. Ours. */
const KEPT_SAMPLES = 32;
/**
 * How much a browser's clock may run off, ms a ms. RFC 5905 takes 15 millionths (PHI, section 7.2) for computers that are kept in
 * time; phones are given more here. Common practice, no source: quartz is good to some 50 millionths.
 */
export const DRIFT = 100e-6;
/** A clock that is wrong by more than this is set, not slewed. Source: STEPT, RFC 5905 section 11.3 (128 ms). */
export const STEP_MS: Ms = 128;
/** How fast an offset glides, ms a ms: less than a change of tempo that is heard (about 2 %, from memory). */
export const SLEW = 0.01;
/** Exchanges at the start after which the clock glides; until then it is set. */
const SETTLED = 8;

export const NO_CLOCK: ServerClock = {
  samples: [],
  target: 0,
  from: 0,
  sinceMs: 0,
  taken: 0,
  stale: false,
};

/** The interval that the true offset lies in, by one sample, widened by what our clock may have run off since. */
function intervalOf(
  { offset, delay, atMs }: HeardSample,
  localMs: Ms,
): { readonly low: Ms; readonly high: Ms } {
  const half = Math.max(0, delay) / 2 + DRIFT * Math.abs(localMs - atMs);
  return { low: offset - half, high: offset + half };
}

/**
 * What all samples agree on: the latest beginning and the earliest end of their intervals, which is the least delay of each way taken
 * by itself. Never worse than the sample with the least delay. Undefined where they contradict each other.
 * Source: intersection of correctness intervals, RFC 5905 section 11.2.1.
 */
function agreed(samples: readonly HeardSample[], localMs: Ms): ClockReading | undefined {
  const intervals = samples.map((sample) => intervalOf(sample, localMs));
  const low = Math.max(...intervals.map((interval) => interval.low));
  const high = Math.min(...intervals.map((interval) => interval.high));
  if (samples.length === 0 || low > high) return undefined;
  return { offset: (low + high) / 2, within: (high - low) / 2 };
}

/** The newest samples that do not contradict each other. */
function fitting(samples: readonly HeardSample[], localMs: Ms): readonly HeardSample[] {
  let first = samples.length - 1;
  while (first > 0 && agreed(samples.slice(first - 1), localMs)) first -= 1;
  return samples.slice(Math.max(0, first));
}

/** The offset gone by now: `target`, or on the way there. */
function gliding({ target, from, sinceMs }: ServerClock, localMs: Ms): Ms {
  const left = target - from;
  const moved = SLEW * Math.max(0, localMs - sinceMs);
  return Math.abs(left) <= moved ? target : from + Math.sign(left) * moved;
}

/** The clock after an exchange, heard at its `t4`. An answer that came before it was asked for tells nothing. */
export function withExchange(clock: ServerClock, exchange: Exchange): ServerClock {
  const localMs = exchange.t4;
  const sample = sampleOf(exchange);
  if (!(sample.delay >= 0) || exchange.t3 < exchange.t2) return clock;
  const before = clock.stale ? [] : clock.samples;
  const samples = fitting([...before, { ...sample, atMs: localMs }].slice(-KEPT_SAMPLES), localMs);
  const target = agreed(samples, localMs)?.offset ?? sample.offset;
  const shown = gliding(clock, localMs);
  const set = clock.taken < SETTLED || Math.abs(target - shown) > STEP_MS;
  return {
    samples,
    target,
    from: set ? target : shown,
    sinceMs: localMs,
    taken: clock.taken + 1,
    stale: false,
  };
}

/** A new line, perhaps to a server that was started anew: what is known is gone by until the first answer, then forgotten. */
export function withNewLine(clock: ServerClock): ServerClock {
  return { ...clock, stale: true };
}

/** Our clock stood still for `sleptMs` (a phone that slept): all samples are void, and the offset is as much greater. */
export function withSleep(clock: ServerClock, localMs: Ms, sleptMs: Ms): ServerClock {
  if (clock.samples.length === 0) return clock;
  const target = gliding(clock, localMs) + sleptMs;
  return { ...NO_CLOCK, target, from: target, sinceMs: localMs };
}

/** Server time minus ours as it is gone by; 0 while nothing is known. */
export function offsetAt(clock: ServerClock, localMs: Ms): Ms {
  return gliding(clock, localMs);
}

/** How good the clock is: undefined while nothing is known, or not since it was lost. */
export function readClock(clock: ServerClock, localMs: Ms): ClockReading | undefined {
  const known = agreed(clock.samples, localMs);
  if (!known) return undefined;
  const offset = gliding(clock, localMs);
  return { offset, within: known.within + Math.abs(offset - known.offset) };
}
