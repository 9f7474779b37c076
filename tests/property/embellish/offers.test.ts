import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { FAMILIES } from '../../../lib/embellish/all';
import { bumDittyOf } from '../../../lib/embellish/place';
import { problemsOf } from '../../../lib/judge';
import { strokesText } from '../../../lib/tab/hash';
import type { Measure, Stroke } from '../../../lib/tab/measure';
import { sameStrokes } from '../../../lib/tab/measure';
import { playable } from './measures';

const RUNS = { seed: 1, numRuns: 600 };

test('the random measures themselves can be played', () => {
  fc.assert(
    fc.property(playable, ({ measure, neck }) => {
      expect(problemsOf(measure, neck)).toEqual([]);
    }),
    RUNS,
  );
});

/**
 * Strokes that start outside of the bum-ditty of a stroke and outside of that stroke, which may ring on into the next
 * one.
 */
function outside(measure: Measure, strokes: readonly Stroke[], touched: Stroke): readonly Stroke[] {
  const { slot } = measure.meter;
  const { first, slots } = bumDittyOf(measure, touched);
  const start = first * slot - measure.startsAt;
  const end = Math.max(start + slots * slot, touched.at + touched.length);
  return strokes.filter(({ at }) => at < start || at >= end);
}

describe.each(FAMILIES.map((family) => [family.id, family] as const))('every %s', (_, family) => {
  test('that is offered can be played, fills the measure, is new, and leaves other bum-ditties alone', () => {
    let offers = 0;
    fc.assert(
      fc.property(playable, ({ measure, neck }) => {
        for (const [index, stroke] of measure.strokes.entries()) {
          const answer = family.apply(measure, index, neck);
          const texts = answer.offers.map(({ strokes }) => strokesText(strokes));
          expect(new Set(texts).size).toBe(texts.length);
          for (const { strokes, words } of answer.offers) {
            offers += 1;
            expect(problemsOf({ ...measure, strokes }, neck)).toEqual([]);
            expect(sameStrokes(strokes, measure.strokes)).toBe(false);
            expect(outside(measure, strokes, stroke)).toEqual(
              outside(measure, measure.strokes, stroke),
            );
            expect(words).toMatch(/^[A-Z].*\.$/);
          }
        }
      }),
      RUNS,
    );
    expect(offers).toBeGreaterThan(100);
  });

  test('answers with offers or with reasons, never with both or neither', () => {
    fc.assert(
      fc.property(playable, ({ measure, neck }) => {
        for (const index of measure.strokes.keys()) {
          const { offers, refusals } = family.apply(measure, index, neck);
          expect(offers.length > 0).toBe(refusals.length === 0);
          for (const { where, words } of refusals) {
            expect(where.stroke).toBe(index);
            expect(words).toMatch(/\.$/);
          }
        }
      }),
      RUNS,
    );
  });
});
