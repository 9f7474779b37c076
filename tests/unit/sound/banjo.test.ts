import { describe, expect, test } from 'vitest';
import { Banjo, DEFAULT_MIX } from '../../../lib/sound/banjo';
import type { SoundEvent } from '../../../lib/sound/event';
import { CEILING } from '../../../lib/sound/limiter';
import { renderSound } from '../../../lib/sound/render';
import { scoreOf } from '../../../lib/sound/score';
import { STRINGS } from '../../../lib/units';
import { bar } from '../../kit/tab';
import { decibels, heard, heardWarm, heightAt, peakOf, RATE, samplesOf } from './measuring';
import { hzOf, openG } from './open-g';

/** What one stroke of the tab sounds like, as loud as the program plays it. */
function strokeAlone(text: string): Float32Array {
  return heardWarm(scoreOf({ measures: [bar('4/4', text)], neck: openG(), tempo: 60 }).events);
}

/** The middle of the spectrum from 5 to 90 ms after the stroke, weighted by power, in Hz. */
function brightness(samples: Float32Array): number {
  const attack = samples.subarray(samplesOf(0.005), samplesOf(0.09));
  let power = 0;
  let weighted = 0;
  for (let hz = 50; hz < 10_000; hz += 12) {
    const here = heightAt(attack, hz) ** 2;
    power += here;
    weighted += hz * here;
  }
  return weighted / power;
}

const NOTES = ['s4', 's4.5', 's3', 's3.4', 's2', 's1', 's1.5', 's1.9', 't5'];

// No published values here: what a struck open-back banjo sounds like is common practice, no source. These keep what was tuned.
describe('the sound of a stroke', () => {
  test.each(NOTES)(
    '%s is there at once, half gone in a third of a second, and gone in two',
    (note) => {
      const sound = strokeAlone(`${note} . . . . . . .`);
      const start = decibels(sound, 0, 0.05);
      expect(start).toBeGreaterThan(-32);
      expect(decibels(sound, 0.3, 0.35)).toBeLessThan(start - 6);
      expect(decibels(sound, 0.3, 0.35)).toBeGreaterThan(start - 25);
      expect(decibels(sound, 2, 2.05)).toBeLessThan(start - 50);
    },
  );

  test.each(NOTES)('%s is bright: the middle of its attack lies from 800 to 2500 Hz', (note) => {
    const middle = brightness(strokeAlone(`${note} . . . . . . .`));
    expect(middle).toBeGreaterThan(800);
    expect(middle).toBeLessThan(2500);
  });

  test('a strike is about as loud on every string', () => {
    const levels = NOTES.slice(0, -1).map((note) =>
      decibels(strokeAlone(`${note} . . . . . . .`), 0, 0.3),
    );
    expect(Math.max(...levels) - Math.min(...levels)).toBeLessThan(5);
  });

  test('the drone is behind the melody, and heard', () => {
    const drone = decibels(strokeAlone('t5 . . . . . . .'), 0, 0.3);
    for (const note of NOTES.slice(0, -1)) {
      const melody = decibels(strokeAlone(`${note} . . . . . . .`), 0, 0.3);
      expect(melody - drone).toBeGreaterThan(2);
      expect(melody - drone).toBeLessThan(11);
    }
  });

  test('a hammer and a pull are softer than the strike before them, and heard', () => {
    for (const text of ['s3 . h3.2 . | . . . .', 's3.2 . p3 . | . . . .']) {
      const sound = strokeAlone(text);
      const strike = decibels(sound, 0, 0.1);
      const before = decibels(sound, 0.4, 0.5);
      const after = decibels(sound, 0.5, 0.6);
      expect(after).toBeLessThan(strike - 1);
      expect(after).toBeGreaterThan(before + 2);
    }
  });

  test('a stopped brush knocks and is over', () => {
    const sound = strokeAlone('x1234 . . . | . . . .');
    expect(decibels(sound, 0, 0.05)).toBeGreaterThan(-40);
    expect(decibels(sound, 0.2, 0.25)).toBeLessThan(decibels(sound, 0, 0.05) - 40);
  });
});

const ALL_AT_ONCE: readonly SoundEvent[] = Array.from({ length: 60 }, (_, i) => i / 20).flatMap(
  (at): readonly SoundEvent[] => [
    ...STRINGS.map(
      (string) =>
        ({ kind: 'pluck', at, string, hz: hzOf(string, 0), level: 1, position: 0.5 }) as const,
    ),
    { kind: 'click', at, accent: true },
  ],
);

/** The curve between the samples, at four times the sample rate (windowed sinc of 64 samples). */
function peakBetween(samples: Float32Array): number {
  let peak = 0;
  for (let i = 32; i < samples.length - 32; i += 1) {
    if (Math.abs(samples[i] ?? 0) < 0.5) continue;
    for (const part of [0.25, 0.5, 0.75]) {
      let sum = 0;
      for (let k = -31; k <= 32; k += 1) {
        const x = Math.PI * (part - k);
        const window = 0.5 + 0.5 * Math.cos(x / 32);
        sum += (((samples[i + k] ?? 0) * Math.sin(x)) / x) * window;
      }
      peak = Math.max(peak, Math.abs(sum));
    }
  }
  return peak;
}

describe('safe ears', () => {
  const loudest = renderSound(ALL_AT_ONCE, {
    sampleRate: RATE,
    channels: 1,
    mix: { level: 1, melody: 1, drone: 1, click: 1 },
  });

  test('no sample is above the ceiling with everything sounding, nor the curve between them at full scale', () => {
    expect(CEILING).toBeLessThan(1);
    expect(peakOf(loudest)).toBeGreaterThan(0.6);
    expect(peakOf(loudest)).toBeLessThanOrEqual(CEILING);
    expect(peakBetween(loudest)).toBeLessThan(1);
  });

  test('a usual measure is left alone by the limiter', () => {
    const text = 's3 h3.2 b123 t5 | s2 t3 b1234 t5';
    expect(peakOf(strokeAlone(text))).toBeLessThan(0.9 * CEILING);
  });

  test('the start is soft: the same stroke is 10 dB louder two seconds later', () => {
    const strike = (at: number): SoundEvent => ({
      kind: 'pluck',
      at,
      string: 3,
      hz: hzOf(3, 0),
      level: 0.8,
      position: 0.13,
    });
    const sound = heard([strike(0), strike(3)]);
    const louder = decibels(sound, 3, 3.1) - decibels(sound, 0, 0.1);
    expect(louder).toBeGreaterThan(8);
    expect(louder).toBeLessThan(13);
  });

  test('a level is glided to, never jumped to', () => {
    const banjo = new Banjo(RATE);
    banjo.play({ kind: 'click', at: 0, accent: true });
    const out = new Float64Array(RATE);
    const piece = new Float64Array(Banjo.PIECE);
    let quietFrom = 0;
    for (let at = 0; at + Banjo.PIECE <= RATE; at += Banjo.PIECE) {
      if (at === 40 * Banjo.PIECE) {
        banjo.play({ kind: 'pluck', at: 0, string: 1, hz: 300, level: 1, position: 0.3 });
      }
      if (at === 80 * Banjo.PIECE) {
        banjo.setMix({ ...DEFAULT_MIX, level: 0 });
        quietFrom = at;
      }
      banjo.render(piece, 0, Banjo.PIECE);
      out.set(piece, at);
    }
    const steps = out.map((x, i) => x - (out[i - 1] ?? 0));
    const ms = RATE / 1000;
    expect(peakOf(steps.subarray(quietFrom, quietFrom + 5 * ms))).toBeLessThanOrEqual(
      1.05 * peakOf(steps.subarray(quietFrom - 10 * ms, quietFrom)),
    );
    expect(peakOf(out.subarray(quietFrom, quietFrom + 5 * ms))).toBeGreaterThan(0);
    expect(peakOf(out.subarray(quietFrom + 250 * ms))).toBe(0);
  });
});

describe('the mix', () => {
  const events = scoreOf({
    measures: [bar('4/4', 's3 t5 . . | . . . .')],
    neck: openG(),
    tempo: 60,
  }).events;
  const render = (mix: Partial<typeof DEFAULT_MIX>, click = false) =>
    renderSound(click ? [{ kind: 'click', at: 0, accent: false }] : events, {
      sampleRate: RATE,
      channels: 1,
      mix: { ...DEFAULT_MIX, ...mix },
    });

  test('mutes the melody and leaves the drone', () => {
    const sound = render({ melody: 0 });
    expect(peakOf(sound.subarray(0, samplesOf(0.25)))).toBe(0);
    expect(peakOf(sound)).toBeGreaterThan(0.01);
  });

  test('mutes the drone and leaves the melody as it is', () => {
    const sound = render({ drone: 0 });
    expect(sound.subarray(0, samplesOf(0.249))).toEqual(render({}).subarray(0, samplesOf(0.249)));
    expect(sound).not.toEqual(render({}));
  });

  test('has a level of its own for the click', () => {
    expect(peakOf(render({ click: 0 }, true))).toBe(0);
    expect(peakOf(render({ click: 1 }, true))).toBeCloseTo(
      2 * peakOf(render({ click: 0.5 }, true)),
      3,
    );
  });

  test('an accent is louder and higher than a beat', () => {
    const click = (accent: boolean) =>
      renderSound([{ kind: 'click', at: 0, accent }], { sampleRate: RATE, channels: 1 }).subarray(
        0,
        2400,
      );
    expect(peakOf(click(true))).toBeGreaterThan(1.3 * peakOf(click(false)));
    expect(heightAt(click(true), 1760)).toBeGreaterThan(heightAt(click(true), 1175));
    expect(heightAt(click(false), 1175)).toBeGreaterThan(heightAt(click(false), 1760));
  });
});
