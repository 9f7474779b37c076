import { describe, expect, test } from 'vitest';
import { passesIn, runMs } from '../../../lib/passes/count';
import type { MeterName } from '../../../lib/rhythm';
import { meterNamed } from '../../../lib/rhythm';
import type { Part } from '../../../lib/tune';
import type { MeasureId, Ticks } from '../../../lib/units';

/** A part of measures with the given lengths in ticks; a name like "3/1" is a measure of the first time through only. */
function part(letter: string, lengths: readonly Ticks[], endings: readonly number[] = []): Part {
  return {
    letter,
    measures: lengths.map((ticks, i) => ({
      id: `${letter}${i}` as MeasureId,
      startsAt: 0,
      ticks,
      strokes: [],
      melody: [],
      ...(endings[i] ? { endings: [endings[i]] } : {}),
    })),
  };
}

function run(meter: MeterName, tempo: number, parts: readonly Part[], form: string) {
  return { tempo, tune: { meter: meterNamed(meter), parts, form: [...form] } };
}

const eight = (ticks: Ticks) => Array.from({ length: 8 }, () => ticks);
const reel = (tempo: number) =>
  run('2/2', tempo, [part('A', eight(1920)), part('B', eight(1920))], 'AABB');
/** Two measures of count at 110 half notes a minute, two half notes each. */
const COUNT_MS = (4 * 60_000) / 110;

describe('[P9] minutes and passes, against common practice (no source)', () => {
  test('a reel of 32 measures at 110 half notes a minute lasts 34.9 s', () => {
    const pass = runMs(reel(110), 2) - runMs(reel(110), 1);
    expect(pass).toBeCloseTo((32 * 2 * 60_000) / 110, 6);
    expect(Math.round(pass / 100) / 10).toBe(34.9);
  });

  test('ten minutes are 17 passes', () => expect(passesIn(reel(110), 600_000)).toBe(17));

  test('the count-in is two measures, once', () =>
    expect(runMs(reel(110), 1)).toBeCloseTo(COUNT_MS + (64 * 60_000) / 110, 6));
});

describe('[P9] what is counted', () => {
  const pickup = run('2/2', 110, [part('A', [480, 1920, 1440])], 'AA');
  const endings = run('2/2', 110, [part('A', [1920, 1920, 1920], [0, 1, 2])], 'AA');
  const waltz = run('3/4', 120, [part('A', eight(1440))], 'A');

  test.each([
    ['a pickup with the measure that it completes', pickup, 2, 4 + 2 * 2 * 4],
    ['first and second endings, each in its own time', endings, 1, 4 + 2 * 2 * 2],
    ['the tag after the last pass', { ...pickup, endingTicks: 960 }, 1, 4 + 2 * 4 + 1],
  ])('%s', (_, each, passes, beats) =>
    expect(runMs(each, passes)).toBeCloseTo((beats * 60_000) / 110, 6),
  );

  test('three quarters a measure in a waltz', () =>
    expect(runMs(waltz, 1)).toBe(6 * 500 + 8 * 3 * 500));

  test.each([
    ['exactly long enough', 0, 17],
    ['a thousandth of a millisecond short', -0.001, 16],
    ['nearly one pass more', 31_999.999, 17],
  ])('a time that is %s', (_, more, passes) => {
    // At 120 half notes a minute a pass is exactly 32 s and the count-in 2 s.
    expect(passesIn(reel(120), 17 * 32_000 + 2000 + more)).toBe(passes);
  });

  test('no time is no pass', () => expect(passesIn(reel(110), 0)).toBe(0));

  test.each([
    () => runMs(reel(110), 0),
    () => runMs(reel(110), 1.5),
    () => runMs(reel(0), 1),
    () => passesIn(reel(Number.NaN), 1000),
    () => passesIn(reel(110), Number.POSITIVE_INFINITY),
    () => passesIn(run('2/2', 110, [], ''), 1000),
  ])('what is no run is refused', (ask) => expect(ask).toThrow(RangeError));
});
