import { describe, expect, test } from 'vitest';
import { renderSound } from '../../../lib/sound/render';
import { scoreOf } from '../../../lib/sound/score';
import type { Measure } from '../../../lib/tab/measure';
import { bar } from '../../kit/tab';
import { heard, peakOf, picksIn, RATE } from './measuring';
import { openG } from './open-g';

/** A millisecond in seconds. */
const MS = 0.001;

const MEASURES: readonly (readonly [string, Measure])[] = [
  ['bum-ditty', bar('4/4', 's3 . b123 t5 | s1 . b123 t5')],
  ['hammer and pull', bar('4/4', 's3 h3.2 b123 t5 | s1.2 p1 b1234 t5')],
  ['drop thumb and double thumb', bar('4/4', 's1 t2 s3 t5 | s4.2 t5 s3 t5')],
  ['slide', bar('4/4', 's3.2 l3.3 s1 t5 | s4.4 l4.3 b12 t5')],
  ['stopped brush, pluck, skip', bar('4/4', 's3 . x1234 t5 | r t5 s4 k1')],
  ['triplet', bar('4/4', 's1~160 h1.2~160 p1~160 b123 t5 | s1 . b123 t5')],
  ['jig', bar('6/8', 's3 b123 t5 | s3 b123 t5')],
];

function scored(measures: readonly Measure[], tempo: number, swing = 0.5) {
  return scoreOf({ measures, neck: openG(), tempo, swing });
}

/** When leaving a stroke out first makes a difference that is more than -60 dB of the loudest. */
function onset(measure: Measure, stroke: number, tempo: number, swing: number): number {
  const strokes = measure.strokes.map((each, i) =>
    i === stroke ? { ...each, by: 'rest' as const, notes: [] } : each,
  );
  const all = heard(scored([measure], tempo, swing).events);
  const without = heard(scored([{ ...measure, strokes }], tempo, swing).events);
  // The softness of the start is the same in both only if both start with the same stroke.
  const floor = 0.001 * peakOf(all);
  for (let i = 0; i < all.length; i += 1)
    if (Math.abs((all[i] ?? 0) - (without[i] ?? 0)) > floor) return i / RATE;
  return Number.NaN;
}

describe('every stroke is heard within 1 ms of where the model says', () => {
  describe.each(MEASURES)('%s', (_, measure) => {
    test.each([
      [60, 0.5],
      [110, 0.5],
      [110, 0.62],
    ])('at %i with swing %f', (tempo, swing) => {
      const { strokes } = scored([measure], tempo, swing);
      for (const { stroke, at } of strokes) {
        if (measure.strokes[stroke]?.by === 'rest') continue;
        expect(
          Math.abs(onset(measure, stroke, tempo, swing) - at),
          `stroke ${stroke}`,
        ).toBeLessThan(MS);
      }
    });
  });
});

describe('the picks that are heard in the sound itself', () => {
  test('are the strikes and thumbs, each within 1 ms, and no hammer is one of them', () => {
    const measure = bar('4/4', 's3 h3.2 s2 t5 | s1 h1.2 s4 t5');
    const { events } = scored([measure, measure], 60);
    const picked = events.filter(({ kind }) => kind === 'pluck').map(({ at }) => at);
    const found = picksIn(heard(events));
    expect(picked).toHaveLength(12);
    expect(found).toHaveLength(picked.length);
    for (const [i, at] of found.entries())
      expect(Math.abs(at - (picked[i] ?? -1))).toBeLessThan(MS);
  });

  test('of a slide are the strike before it alone', () => {
    const found = picksIn(heard(scored([bar('4/4', 's3.2 l3.4 . . | s4.3 l4.5 . .')], 60).events));
    expect(found.map((at) => Math.round(at * 100) / 100)).toEqual([0, 1]);
  });

  test('of clicks are the beats', () => {
    const beats = {
      measures: [bar('4/4', 'r . . . . . . .')],
      neck: openG(),
      tempo: 60,
      click: true,
    };
    const sound = renderSound(beats, { sampleRate: RATE, channels: 1 });
    const found = picksIn(sound);
    expect(found).toHaveLength(2);
    for (const [beat, at] of found.entries()) expect(Math.abs(at - beat)).toBeLessThan(MS);
  });
});
