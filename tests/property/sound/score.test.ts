import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { scoreOf } from '../../../lib/sound/score';
import { neckOf, TUNINGS } from '../../../lib/tuning';
import { anyMeasure, jumbledMeasure } from '../../kit/measures';

const neck = fc
  .tuple(fc.constantFrom(...TUNINGS), fc.nat({ max: 7 }))
  .map(([tuning, capo]) => neckOf(tuning, capo));
const swing = fc.double({ min: 0.5, max: 0.75, noNaN: true });
const tempo = fc.double({ min: 20, max: 240, noNaN: true });

describe('any measures as a score', () => {
  test('have events in order of time, at finite times, that sound what a banjo can', () => {
    fc.assert(
      fc.property(
        fc.array(fc.oneof(anyMeasure, jumbledMeasure), { maxLength: 4 }),
        neck,
        swing,
        tempo,
        (measures, on, swung, beats) => {
          const { events, strokes } = scoreOf({
            measures,
            neck: on,
            tempo: beats,
            swing: swung,
            click: true,
          });
          for (const [i, event] of events.entries()) {
            expect(event.at).toBeGreaterThanOrEqual(events[i - 1]?.at ?? 0);
            expect(event.at).toBeLessThan(1e4);
            if ('hz' in event) {
              expect(event.hz).toBeGreaterThan(130);
              expect(event.hz).toBeLessThan(1700);
            }
          }
          expect(strokes).toHaveLength(measures.reduce((sum, m) => sum + m.strokes.length, 0));
        },
      ),
      { seed: 1, numRuns: 300 },
    );
  });

  test('have every stroke after the one before, with any swing, and a sound at each that is not a rest', () => {
    fc.assert(
      fc.property(anyMeasure, neck, swing, (measure, on, swung) => {
        const { events, strokes } = scoreOf({
          measures: [measure],
          neck: on,
          tempo: 80,
          swing: swung,
        });
        for (const [i, { at, stroke }] of strokes.entries()) {
          expect(at).toBeGreaterThan((strokes[i - 1]?.at ?? -1) - 1e-12);
          const { by, notes } = measure.strokes[stroke] ?? { by: 'rest', notes: [] };
          const can = notes.length > 0 && notes.every(({ string }) => string !== 5);
          // A slide to where the finger is already moves nothing.
          if (by === 'rest' || by === 'slide' || !can) continue;
          if (notes.some(({ fret }) => fret + on.capo > 22)) continue;
          expect(events.some((event) => event.at === at)).toBe(true);
        }
      }),
      { seed: 2, numRuns: 300 },
    );
  });

  test('slow down and speed up by the tempo alone', () => {
    fc.assert(
      fc.property(anyMeasure, neck, swing, (measure, on, swung) => {
        const at = (beats: number) =>
          scoreOf({ measures: [measure], neck: on, tempo: beats, swing: swung }).strokes;
        const slow = at(40);
        for (const [i, stroke] of at(120).entries())
          expect(3 * stroke.at).toBeCloseTo(slow[i]?.at ?? -1, 9);
      }),
      { seed: 3, numRuns: 100 },
    );
  });
});
