import { expect, test } from 'vitest';
import { Feed } from '../../../../app/_islands/sound/feed';
import { DEFAULT_MIX } from '../../../../lib/sound/banjo';
import type { SoundEvent } from '../../../../lib/sound/event';
import { renderSound } from '../../../../lib/sound/render';
import { scoreOf } from '../../../../lib/sound/score';
import { bar } from '../../../kit/tab';
import { openG } from '../../sound/open-g';

const RATE = 48_000;
/** A render quantum. Source: Web Audio API 1.1, "render quantum size", 128 frames unless asked otherwise. */
const QUANTUM = 128;
const neck = openG();
const measure = bar('4/4', 's3 . b123 t5 | s1 h1.2 b123 t5');

/** What a feed renders in so many seconds, asked for a quantum at a time. `act` is called before each with the time. */
function fed(feed: Feed, seconds: number, act: (now: number) => void = () => undefined) {
  const quanta = Math.ceil((seconds * RATE) / QUANTUM);
  const out = new Float32Array(quanta * QUANTUM);
  for (let i = 0; i < quanta; i += 1) {
    act((i * QUANTUM) / RATE);
    feed.render(out.subarray(i * QUANTUM, (i + 1) * QUANTUM));
  }
  return out;
}

const loudest = (samples: Float32Array, from: number, to: number) =>
  samples
    .subarray(Math.round(from * RATE), Math.round(to * RATE))
    .reduce((most, sample) => Math.max(most, Math.abs(sample)), 0);

/** Where two renders part, or -1. */
const firstDifference = (a: Float32Array, b: Float32Array) =>
  a.length === b.length ? a.findIndex((sample, i) => sample !== b[i]) : a.length;

test('what is fed a quantum at a time is what is rendered whole, sample for sample', () => {
  const request = { measures: [measure, measure], neck, tempo: 120, click: true };
  const whole = renderSound(request, { sampleRate: RATE, channels: 1 });
  const feed = new Feed(RATE, DEFAULT_MIX);
  feed.play(scoreOf(request).events);
  const pieces = fed(feed, whole.length / RATE);
  expect(firstDifference(pieces.subarray(0, whole.length), whole)).toBe(-1);
  expect(loudest(whole, 0, 1)).toBeGreaterThan(0.05);
});

test('a feed that starts late on the clock plays at the clock’s times', () => {
  const start = 3.2;
  const { events } = scoreOf({ measures: [measure], neck, tempo: 120 });
  const early = new Feed(RATE, DEFAULT_MIX);
  early.play(events.map((event) => ({ ...event, at: event.at + 0.5 })));
  const late = new Feed(RATE, DEFAULT_MIX, start);
  late.play(events.map((event) => ({ ...event, at: event.at + start + 0.5 })));
  expect(late.seconds).toBe(start);
  const a = fed(early, 1.5);
  const b = fed(late, 1.5);
  // Adding and taking the start away again may round to the next sample.
  expect(Math.abs(loudest(a, 0, 1.5) - loudest(b, 0, 1.5))).toBeLessThan(0.01);
  expect(loudest(b, 0, 0.495)).toBe(0);
  expect(loudest(b, 0.5, 0.6)).toBeGreaterThan(0.02);
});

test('a round laid out while another sounds follows without a gap', () => {
  const { events, seconds } = scoreOf({ measures: [measure], neck, tempo: 120 });
  const second: readonly SoundEvent[] = events.map((event) => ({
    ...event,
    at: event.at + seconds,
  }));
  const feed = new Feed(RATE, DEFAULT_MIX);
  feed.play(events);
  let laid = false;
  const looped = fed(feed, 2 * seconds, (now) => {
    if (laid || now < seconds / 2) return;
    laid = true;
    feed.play(second);
  });
  const whole = renderSound([...events, ...second], { sampleRate: RATE, channels: 1 });
  expect(firstDifference(looped, whole.subarray(0, looped.length))).toBe(-1);
});

test('what is forgotten is not played, what comes before it is', () => {
  const { events } = scoreOf({ measures: [measure], neck, tempo: 60 });
  const feed = new Feed(RATE, DEFAULT_MIX);
  feed.play(events);
  feed.play([{ kind: 'click', at: 5, accent: true }]);
  const done = fed(feed, 0.5).length;
  feed.forget(1);
  const before = renderSound(
    events.filter(({ at }) => at < 1),
    { sampleRate: RATE, channels: 1 },
  );
  const after = new Float32Array(before.length - done);
  feed.render(after);
  expect(firstDifference(after, before.subarray(done))).toBe(-1);
});

test('a stop is silence within 10 ms, and what is played after it sounds', () => {
  const { events } = scoreOf({ measures: [measure, measure], neck, tempo: 120 });
  const feed = new Feed(RATE, DEFAULT_MIX);
  feed.play(events);
  fed(feed, 0.7);
  feed.stop();
  const silent = fed(feed, 1);
  expect(loudest(silent, 0, 0.002)).toBeGreaterThan(0);
  expect(loudest(silent, 0.011, 1)).toBe(0);
  feed.play([{ kind: 'click', at: feed.seconds + 0.12, accent: true }]);
  expect(loudest(fed(feed, 0.3), 0, 0.3)).toBeGreaterThan(0.02);
});
