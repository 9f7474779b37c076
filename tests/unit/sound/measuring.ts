import { PitchDetector } from 'pitchy';
import type { SoundEvent } from '../../../lib/sound/event';
import { renderSound } from '../../../lib/sound/render';
import type { Hz } from '../../../lib/units';

/** Independent questions about samples; nothing here knows how they were made. */
export const RATE = 48_000;

export function samplesOf(seconds: number, rate = RATE): number {
  return Math.round(seconds * rate);
}

export function peakOf(samples: ArrayLike<number>): number {
  let peak = 0;
  for (let i = 0; i < samples.length; i += 1) peak = Math.max(peak, Math.abs(samples[i] ?? 0));
  return peak;
}

/** Mean power of a stretch in dB below full scale. */
export function decibels(samples: Float32Array, from: number, to: number): number {
  let sum = 0;
  for (let i = samplesOf(from); i < samplesOf(to); i += 1) sum += (samples[i] ?? 0) ** 2;
  return 10 * Math.log10(sum / (samplesOf(to) - samplesOf(from)) + 1e-30);
}

/** How high one frequency stands in the samples (sum, Hann window). */
export function heightAt(samples: ArrayLike<number>, hz: Hz, rate = RATE): number {
  let re = 0;
  let im = 0;
  for (let i = 0; i < samples.length; i += 1) {
    const window = 0.5 - 0.5 * Math.cos((2 * Math.PI * i) / samples.length);
    const angle = (2 * Math.PI * hz * i) / rate;
    re += window * (samples[i] ?? 0) * Math.cos(angle);
    im += window * (samples[i] ?? 0) * Math.sin(angle);
  }
  return Math.hypot(re, im);
}

export function centsBetween(from: Hz, to: Hz): number {
  return 1200 * Math.log2(to / from);
}

/**
 * Pitch and clarity of `size` samples from a time on, by the McLeod method of `pitchy`. Its threshold is lowered, so that of sound
 * whose pitch moves it takes the period and not a multiple of it that happens to fit better.
 */
export function pitchAt(
  samples: Float32Array,
  seconds: number,
  size = 4096,
  rate = RATE,
): { readonly hz: Hz; readonly clarity: number } {
  const from = samplesOf(seconds, rate);
  const detector = PitchDetector.forFloat32Array(size);
  detector.clarityThreshold = 0.75;
  const [hz, clarity] = detector.findPitch(samples.subarray(from, from + size), rate);
  return { hz, clarity };
}

/**
 * Times at which a pick is heard: the highest part of the sound (twice differenced) is, over half a millisecond, 20 times as
 * strong as it was in the 8 ms before the half millisecond before.
 */
export function picksIn(samples: Float32Array): readonly number[] {
  const frame = 24;
  const powers: number[] = [];
  for (let at = 2; at + frame <= samples.length; at += frame) {
    let power = 0;
    for (let i = at; i < at + frame; i += 1) {
      const bent = (samples[i] ?? 0) - 2 * (samples[i - 1] ?? 0) + (samples[i - 2] ?? 0);
      power += bent * bent;
    }
    powers.push(power);
  }
  const picks: number[] = [];
  for (const [index, power] of powers.entries()) {
    const before = Math.max(1e-7, ...powers.slice(Math.max(0, index - 17), Math.max(0, index - 1)));
    const at = (2 + index * frame) / RATE;
    if (power > 20 * before && at - (picks.at(-1) ?? -1) > 0.005) picks.push(at);
  }
  return picks;
}

/** Are they the same, bit for bit? Quicker than a comparison that could say where they differ. */
export function sameBits(a: Float32Array, b: Float32Array): boolean {
  return a.length === b.length && a.every((sample, i) => Object.is(sample, b[i]));
}

/** Everything that the events sound like at full levels without a click. */
export function heard(events: readonly SoundEvent[]): Float32Array {
  const mix = { level: 0.8, melody: 1, drone: 1, click: 0 };
  return renderSound(events, { sampleRate: RATE, channels: 1, mix });
}

/** The events two seconds later, behind a silent click, so that the soft start is over. Answers the sound from their time 0 on. */
export function heardWarm(events: readonly SoundEvent[]): Float32Array {
  const warm: SoundEvent = { kind: 'click', at: 0, accent: false };
  const later = events.map((event) => ({ ...event, at: event.at + 2 }));
  return heard([warm, ...later]).subarray(2 * RATE);
}
