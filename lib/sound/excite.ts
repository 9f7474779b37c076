import type { Hz } from '../units';
import type { Noise } from './noise';

/** What a finger gives to a string. */
export interface Touch {
  /** From 0 to 1: the height of every harmonic (at 200 Hz) before position and softness take from it. */
  readonly level: number;
  /** Where the string is touched, as a part of its sounding length from the bridge, more than 0 and at most 1/2. */
  readonly position: number;
  /** How bright the touch is: above this the harmonics fall by 12 dB an octave. */
  readonly cutoff: Hz;
  /** Height of the scratch beside that of the clean pulse; 0 for a finger that does not pick. */
  readonly scratch: number;
}

/** Time constants of the softening filter after which what is left of it is cut off (below -100 dB). */
const TAIL = 14;
/** High notes have fewer harmonics and get higher ones, so that all sound as loud as one of this pitch. Common practice, no source. */
const EVEN_HZ: Hz = 200;

/** Samples that `fillTouch` may need at most for a loop of `delay` samples. */
export function touchLength(sampleRate: number, delay: number, touch: Touch): number {
  const tail = Math.ceil((TAIL * sampleRate) / (2 * Math.PI * touch.cutoff));
  return Math.ceil(delay * (1 + touch.position)) + tail + 1;
}

/**
 * Writes what is to be added to a loop of `delay` samples to sound it, and answers how many samples that is. A pulse and one
 * period of noise go through the softening filter twice, then through the comb of the place where the string is touched
 * (which takes out every harmonic that rests there, and 0 Hz).
 * Source: Karplus and Strong 1983 (a period of noise); Jaffe and Smith 1983 (one-pole low-pass for dynamics,
 * 1 - z^-(position * period) for the place); the pulse beside the noise keeps the loudness of notes alike: common practice, no source.
 */
export function fillTouch(
  out: Float64Array,
  sampleRate: number,
  delay: number,
  touch: Touch,
  noise: Noise,
): number {
  const length = Math.min(out.length, touchLength(sampleRate, delay, touch));
  const keep = Math.exp((-2 * Math.PI * touch.cutoff) / sampleRate);
  const evenness = Math.sqrt(sampleRate / delay / EVEN_HZ);
  const pulse = (touch.level * evenness * delay) / 2;
  // A period of noise of this spread has harmonics as high as the pulse's, on average, times `scratch`; 3 makes the even spread 1.
  const spread = touch.scratch * pulse * Math.sqrt(3 / delay);
  let once = 0;
  let twice = 0;
  for (let n = 0; n < length; n += 1) {
    const raw = (n === 0 ? pulse : 0) + (n < delay && spread > 0 ? spread * noise.next() : 0);
    once = raw * (1 - keep) + once * keep;
    twice = once * (1 - keep) + twice * keep;
    out[n] = twice;
  }
  const back = touch.position * delay;
  const whole = Math.floor(back);
  const part = back - whole;
  for (let n = length - 1; n >= whole; n -= 1) {
    const older = n > whole ? (out[n - whole - 1] ?? 0) : 0;
    out[n] = (out[n] ?? 0) - ((1 - part) * (out[n - whole] ?? 0) + part * older);
  }
  return length;
}
