import { describe, expect, test } from 'vitest';
import type { SoundEvent } from '../../../lib/sound/event';
import {
  renderSound,
  SoundRenderer,
  soundBlocks,
  soundFrames,
  TAIL_SECONDS,
} from '../../../lib/sound/render';
import { bar } from '../../kit/tab';
import { decibels, peakOf, RATE, sameBits, samplesOf } from './measuring';
import { hzOf, openG } from './open-g';

const SOURCE = {
  measures: [
    bar('4/4', 's3 h3.2 b123 t5 | s3.2 l3.4 x12 t5'),
    bar('4/4', 's1.2 p1 b123 t5 | s1 t2 s3 t5'),
  ],
  neck: openG(),
  tempo: 100,
  swing: 0.6,
  click: true,
  leadIn: { kind: 'potatoes', tonic: 7 },
} as const;

const strike = (at: number, level = 0.8): SoundEvent => ({
  kind: 'pluck',
  at,
  string: 3,
  hz: hzOf(3, 0),
  level,
  position: 0.13,
});

describe('renderSound', () => {
  const mono = renderSound(SOURCE, { sampleRate: RATE, channels: 1 });

  test('gives the same bits twice', () =>
    expect(sameBits(renderSound(SOURCE, { sampleRate: RATE, channels: 1 }), mono)).toBe(true));

  test('gives the same bits in blocks of any length', () => {
    for (const frames of [1, 63, 128, 1000, 48_000]) {
      let at = 0;
      for (const block of soundBlocks(SOURCE, { sampleRate: RATE, channels: 1 }, frames)) {
        // A comparison a block would be slow for blocks of one sample.
        if (!block.every((sample, i) => sample === mono[at + i])) expect.fail(`${frames} at ${at}`);
        at += block.length;
      }
      expect(at).toBe(mono.length);
    }
  });

  test('has the same on both sides, frame by frame', () => {
    const both = renderSound(SOURCE, { sampleRate: RATE, channels: 2 });
    expect(both).toHaveLength(2 * mono.length);
    expect(
      sameBits(
        both.filter((_, i) => i % 2 === 0),
        mono,
      ),
    ).toBe(true);
    expect(
      sameBits(
        both.filter((_, i) => i % 2 === 1),
        mono,
      ),
    ).toBe(true);
  });

  test('is as long as it was said to be, with time to ring out', () => {
    expect(mono).toHaveLength(soundFrames(SOURCE, RATE));
    // Four potatoes and four beats at 100 a minute.
    expect(mono.length / RATE).toBeCloseTo(8 * 0.6 + TAIL_SECONDS, 3);
    expect(decibels(mono, mono.length / RATE - 0.1, mono.length / RATE)).toBeLessThan(-75);
  });

  test('of no events is silence', () => {
    const nothing = renderSound([], { sampleRate: RATE, channels: 1 });
    expect(nothing.length).toBe(samplesOf(TAIL_SECONDS));
    expect(peakOf(nothing)).toBe(0);
  });

  test.each([0, 7999, 96_001, Number.NaN])('%f samples a second are refused', (sampleRate) =>
    expect(() => renderSound([], { sampleRate, channels: 1 })).toThrow(RangeError),
  );
});

/** Renders this many seconds more, in blocks of 128 as an audio thread does. */
function run(renderer: SoundRenderer, seconds: number): Float32Array {
  const out = new Float32Array(128 * Math.round((seconds * RATE) / 128));
  for (let at = 0; at < out.length; at += 128) renderer.render(out, at, at + 128);
  return out;
}

describe('a renderer that runs', () => {
  test('plays what it is given on the way, as if it had always known it', () => {
    const known = new SoundRenderer(RATE);
    known.schedule([strike(0.1), strike(0.9)]);
    const told = new SoundRenderer(RATE);
    told.schedule([strike(0.1)]);
    const first = run(told, 0.8);
    told.schedule([strike(0.9)]);
    const second = run(told, 0.8);
    const both = Float32Array.from([...first, ...second]);
    expect(sameBits(both, run(known, 1.6).subarray(0, first.length + second.length))).toBe(true);
  });

  test('counts the time that it has given out', () => {
    const renderer = new SoundRenderer(RATE);
    renderer.render(new Float32Array(RATE / 2));
    expect(renderer.seconds).toBe(0.5);
    renderer.render(new Float32Array(10), 4, 7);
    expect(renderer.seconds).toBe(0.5 + 3 / RATE);
  });

  test('writes only where it is told to', () => {
    const renderer = new SoundRenderer(RATE);
    renderer.schedule([strike(0)]);
    const out = new Float32Array(300).fill(9);
    renderer.render(out, 100, 200);
    expect(out.filter((x) => x === 9)).toHaveLength(200);
  });

  test('plays what is a little late at once, and leaves out what is later', () => {
    const renderer = new SoundRenderer(RATE);
    run(renderer, 1);
    renderer.schedule([strike(0.5)]);
    expect(peakOf(run(renderer, 0.2))).toBe(0);
    renderer.schedule([strike(renderer.seconds - 0.01)]);
    expect(peakOf(run(renderer, 0.02))).toBeGreaterThan(0);
  });

  test('plays events of one time in the order in which they came', () => {
    const order = (events: readonly SoundEvent[]) => {
      const renderer = new SoundRenderer(RATE);
      renderer.schedule(events);
      return decibels(run(renderer, 1), 0.5, 0.6);
    };
    const damp: SoundEvent = { kind: 'damp', at: 0.1, string: 3 };
    expect(order([strike(0.1), damp])).toBeLessThan(-90);
    expect(order([damp, strike(0.1)])).toBeGreaterThan(-50);
  });

  test('is silent, to the last bit, once all has rung out', () => {
    const renderer = new SoundRenderer(RATE);
    expect(renderer.sounds).toBe(false);
    renderer.schedule([strike(0.1), { kind: 'click', at: 0.2, accent: true }]);
    expect(renderer.sounds).toBe(true);
    run(renderer, 6);
    expect(renderer.sounds).toBe(false);
    expect(peakOf(run(renderer, 0.1))).toBe(0);
  });
});

describe('stop', () => {
  function stopped() {
    const renderer = new SoundRenderer(RATE);
    renderer.schedule([
      strike(0),
      strike(1.2),
      strike(1.6),
      { kind: 'click', at: 1.7, accent: true },
    ]);
    const before = run(renderer, 1.3);
    renderer.stop();
    return { renderer, before, after: run(renderer, 1) };
  }

  test('is silence within 10 ms, and nothing that was scheduled is played', () => {
    const { after, renderer } = stopped();
    expect(peakOf(after)).toBeGreaterThan(0);
    expect(peakOf(after.subarray(samplesOf(0.0101)))).toBe(0);
    expect(renderer.sounds).toBe(false);
  });

  test('fades and does not jump', () => {
    const { before, after } = stopped();
    const all = Float32Array.from([...before, ...after]);
    const steps = all.map((x, i) => x - (all[i - 1] ?? 0));
    const at = before.length;
    expect(peakOf(steps.subarray(at - 5, at + 1000))).toBeLessThan(
      1.1 * peakOf(steps.subarray(at - 2000, at - 5)),
    );
  });

  test('lets it start again, softly', () => {
    const { renderer } = stopped();
    const at = renderer.seconds;
    renderer.schedule([strike(at + 0.1), strike(at + 2.5)]);
    const again = run(renderer, 3);
    expect(decibels(again, 0.1, 0.2)).toBeLessThan(decibels(again, 2.5, 2.6) - 8);
    expect(decibels(again, 0.1, 0.2)).toBeGreaterThan(-60);
  });
});
