import type { Hz } from '../units';

/** How long a note rings: the time in which it falls by 60 dB, at its own pitch and at `BRIGHT_HZ`. */
export interface Ring {
  readonly seconds: number;
  readonly brightSeconds: number;
}

/** The loop of one string at one length: a delay, a two-point average that loses energy, and an allpass that tunes it. */
export interface Loop {
  /** Whole samples of the delay line. */
  readonly delay: number;
  /** What the allpass adds at the pitch, in samples. */
  readonly fraction: number;
  /** Coefficient of the allpass. */
  readonly allpass: number;
  /** Gain once around at 0 Hz, below 1. */
  readonly gain: number;
  /** Weight of the older sample in the average, more than 0 and at most 1/2. */
  readonly average: number;
  /** How many samples older that one is. */
  readonly span: number;
}

/** Where `Ring.brightSeconds` is meant, unless the note itself comes near it. Common practice, no source. */
const BRIGHT_HZ: Hz = 4000;
/** The fraction is kept from here to one more, where the allpass is quick and nearly flat. Source: Jaffe and Smith 1983. */
const LEAST_FRACTION = 0.1;
/** The most that a loop may keep at 0 Hz, so that it always comes to rest. */
const MOST_GAIN = 0.99999;

/** The sample rate at which the average is over neighbours, as published; at twice as many it is over every second one. */
const PLAIN_RATE = 48_000;

/** How far apart the two samples of the average lie, so that a string is as bright at any sample rate. */
function spanAt(sampleRate: number): number {
  return Math.max(1, Math.round(sampleRate / PLAIN_RATE));
}

/** Delay of the average at `hz` in samples: half of its span at 1/2, less where it is stretched. */
function averageDelay(sampleRate: number, hz: Hz, average: number): number {
  const w = (2 * Math.PI * hz) / sampleRate;
  const turn = w * spanAt(sampleRate);
  return Math.atan2(average * Math.sin(turn), 1 - average + average * Math.cos(turn)) / w;
}

/**
 * Whole delay, fraction and allpass that make the loop sound `hz`, exact at the pitch itself.
 * @param average weight of the older sample; 1/2 is the plain string
 * @throws RangeError where the pitch does not fit the sample rate
 * Source: Karplus and Strong 1983, Jaffe and Smith 1983: fs/f = N + 1/2 + D, C = sin(pi f (1-D)/fs) / sin(pi f (1+D)/fs);
 * checked in tests/reference/sound/loop.test.ts
 */
export function loopTuning(
  sampleRate: number,
  hz: Hz,
  average = 0.5,
): Pick<Loop, 'delay' | 'fraction' | 'allpass'> {
  if (!(hz > 0) || hz > sampleRate / 4)
    throw new RangeError(`${hz} Hz cannot be a string at ${sampleRate} samples a second`);
  const rest = sampleRate / hz - averageDelay(sampleRate, hz, average);
  const delay = Math.floor(rest - LEAST_FRACTION);
  const fraction = rest - delay;
  const half = (Math.PI * hz) / sampleRate;
  return {
    delay,
    fraction,
    allpass: Math.sin(half * (1 - fraction)) / Math.sin(half * (1 + fraction)),
  };
}

/**
 * Gain and average that let a note ring for `ring`: decay shortened by the gain and stretched by the average, so that low and
 * high strings die away alike at any sample rate. The average of a plain string (1/2) is the most that can be lost at
 * `BRIGHT_HZ`.
 * Source: Jaffe and Smith 1983 (decay stretching and shortening); |H|^2 = 1 - 2 S (1 - S) (1 - cos w) for the average, solved for
 * the two wanted decays 10^(-3 / (f t)) a time around; checked in tests/reference/sound/loop.test.ts
 */
export function loopLoss(
  sampleRate: number,
  hz: Hz,
  ring: Ring,
): Pick<Loop, 'gain' | 'average' | 'span'> {
  const span = spanAt(sampleRate);
  const bright = Math.max(BRIGHT_HZ, 3 * hz);
  const kept = 10 ** (-6 / (hz * ring.seconds));
  const ratio = 10 ** (-6 / (hz * ring.brightSeconds)) / kept;
  const low = 1 - Math.cos((2 * Math.PI * hz * span) / sampleRate);
  const high = 1 - Math.cos(Math.min(Math.PI, (2 * Math.PI * bright * span) / sampleRate));
  const product = Math.min(0.25, Math.max(0, (1 - ratio) / (2 * (high - ratio * low))));
  return {
    gain: Math.min(MOST_GAIN, Math.sqrt(kept / (1 - 2 * product * low))),
    average: (1 - Math.sqrt(1 - 4 * product)) / 2,
    span,
  };
}

/** The loop of a string that sounds `hz` and rings for `ring`. */
export function loopAt(sampleRate: number, hz: Hz, ring: Ring): Loop {
  const loss = loopLoss(sampleRate, hz, ring);
  return { ...loss, ...loopTuning(sampleRate, hz, loss.average) };
}
