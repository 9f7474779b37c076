import { describe, expect, test } from 'vitest';
import { beatsBetween } from '../../../lib/transport/beats';
import { startedAt } from '../../../lib/transport/change';
import { positionAt } from '../../../lib/transport/place';
import type { Timeline } from '../../../lib/transport/timeline';
import { countInTicks } from '../../../lib/transport/timeline';
import { CUT, PICKUP, PLAYING, placeWords, TWO } from '../../kit/transport';

describe('where everybody is', () => {
  test.each([
    [5_900, 'count 1/4'],
    [6_000, 'count 1/4'],
    [6_999, 'count 1/4'],
    [7_000, 'count 2/4'],
    [9_999, 'count 4/4'],
    [10_000, 'pass 1 measure 0 slot 0'],
    [10_249, 'pass 1 measure 0 slot 0'],
    [10_250, 'pass 1 measure 0 slot 1'],
    [11_999, 'pass 1 measure 0 slot 7'],
    [12_000, 'pass 1 measure 1 slot 0'],
    [13_999, 'pass 1 measure 1 slot 7'],
    [14_000, 'pass 2 measure 0 slot 0'],
    [21_999, 'pass 3 measure 1 slot 7'],
    [22_000, 'ended'],
  ])('at %i ms: %s', (nowMs, words) =>
    expect(placeWords(positionAt(PLAYING, TWO, nowMs))).toBe(words),
  );

  test.each([
    [10_000, 'pass 1 measure 0 slot 6'],
    [10_499, 'pass 1 measure 0 slot 7'],
    [10_500, 'pass 1 measure 1 slot 0'],
  ])('a pickup stands late in its bar: at %i ms %s', (nowMs, words) =>
    expect(placeWords(positionAt(PLAYING, PICKUP, nowMs))).toBe(words),
  );

  test('nothing is played where there is nothing to play', () => {
    const empty: Timeline = { meter: CUT, starts: [], offsets: [], total: 0 };
    expect(positionAt(PLAYING, empty, 12_000)).toEqual({ kind: 'stopped' });
    expect(positionAt({ kind: 'stopped' }, TWO, 12_000)).toEqual({ kind: 'stopped' });
  });
});

describe('the count-in', () => {
  // Common practice, no source: two measures of count; in cut time at 60 beats a minute 4 s.
  test('a start leaves two measures of count', () => {
    expect(countInTicks(TWO)).toBe(3840);
    const started = startedAt(TWO, 1000, 60, 2, 5);
    expect(placeWords(positionAt(started, TWO, 1000))).toBe('count 1/4');
    expect(started.legs).toMatchObject([{ kind: 'play', pass: 2, visit: 0, tempo: 60 }]);
    expect(started.lastPass).toBe(5);
  });

  test('a pickup begins inside the second counted measure, so that count and tune are in step', () => {
    expect(countInTicks(PICKUP)).toBe(1920 + 1440);
    // The count starts 3.5 s before the pickup; its bar lines are 2 s apart and the next one falls on the first full measure.
    expect(beatsBetween(PLAYING, PICKUP, 0, 11_000).map(({ atMs }) => atMs)).toEqual([
      6500, 7500, 8500, 9500, 10_500,
    ]);
    expect(placeWords(positionAt(PLAYING, PICKUP, 9_600))).toBe('count 4/4');
  });
});

describe('the beats that are heard', () => {
  const heard = (timeline: Timeline, from: number, to: number) =>
    beatsBetween(PLAYING, timeline, from, to).map(
      ({ atMs, accent }) => `${atMs}${accent ? '!' : ''}`,
    );

  test('the count-in and then every beat, the first of a measure accented', () =>
    expect(heard(TWO, 0, 13_000)).toEqual([
      '6000!',
      '7000',
      '8000!',
      '9000',
      '10000!',
      '11000',
      '12000!',
    ]));

  test('a pickup has no beat of its own when it starts after the last one', () =>
    expect(heard(PICKUP, 10_000, 14_500)).toEqual(['10500!', '11500', '12500!', '13500']));

  test('windows side by side lose nothing and double nothing, over passes and after the end', () => {
    const whole = heard(TWO, 0, 30_000);
    const pieces: string[] = [];
    for (let from = 0; from < 30_000; from += 137) pieces.push(...heard(TWO, from, from + 137));
    expect(pieces.filter((_, i) => i < whole.length)).toEqual(whole);
    expect(pieces.length).toBe(whole.length);
    expect(whole.at(-1)).toBe('21000');
  });
});
