import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { strokesText } from '../../../lib/tab/hash';
import type { By, Measure, Stroke } from '../../../lib/tab/measure';
import { BY } from '../../../lib/tab/measure';
import { STRINGS } from '../../../lib/units';
import { describe as say } from '../../../lib/words/describe';
import { anyMeasure, jumbledMeasure } from '../../kit/measures';

/** Everything that differs from a measure in one thing: a string, a fret, a length, who sounds it, or a missing stroke. */
function neighbours(measure: Measure): readonly Measure[] {
  const { strokes, meter } = measure;
  const changed = strokes.flatMap((stroke, i): readonly (readonly Stroke[])[] => {
    const put = (...more: readonly Stroke[]) => [
      ...strokes.slice(0, i),
      ...more,
      ...strokes.slice(i + 1),
    ];
    const [note, ...others] = stroke.notes;
    const kinds = BY.filter((by): by is Exclude<By, 'rest'> => by !== 'rest' && by !== stroke.by);
    return [
      put(),
      put({ ...stroke, length: stroke.length + meter.slot }),
      put({ ...stroke, length: stroke.length / 2 }),
      put({ ...stroke, at: stroke.at + meter.slot }),
      ...(note
        ? [
            put({ ...stroke, notes: [{ ...note, fret: note.fret + 1 }, ...others] }),
            ...STRINGS.filter((string) => !stroke.notes.some((each) => each.string === string)).map(
              (string) =>
                put({
                  ...stroke,
                  notes: [{ ...note, string }, ...others].sort((a, b) => a.string - b.string),
                }),
            ),
            ...kinds.map((by) => put({ ...stroke, by })),
          ]
        : []),
    ];
  });
  return changed.map((list) => ({ ...measure, strokes: list }));
}

describe('words', () => {
  test('measures that differ in one thing read differently', () => {
    let pairs = 0;
    fc.assert(
      fc.property(anyMeasure, (measure) => {
        const heard = new Map<string, string>();
        for (const each of [measure, ...neighbours(measure)]) {
          const words = say(each);
          const text = strokesText(each.strokes);
          expect(heard.get(words) ?? text).toBe(text);
          heard.set(words, text);
          pairs += 1;
        }
      }),
      { seed: 1, numRuns: 300 },
    );
    expect(pairs).toBeGreaterThan(5000);
  });

  test('any two measures of one meter that read alike are the same', () => {
    fc.assert(
      fc.property(anyMeasure, anyMeasure, (a, b) => {
        fc.pre(a.meter === b.meter && a.startsAt === b.startsAt);
        expect(say(a) === say(b)).toBe(strokesText(a.strokes) === strokesText(b.strokes));
      }),
      { seed: 1, numRuns: 200, maxSkipsPerRun: 1000 },
    );
  });

  test('every sentence begins with a capital and ends with a full stop, without double spaces', () => {
    fc.assert(
      fc.property(fc.oneof(anyMeasure, jumbledMeasure), (measure) => {
        expect(say(measure)).toMatch(/^[A-Z](?:(?! {2}).)*\.$/);
      }),
      { seed: 1, numRuns: 300 },
    );
  });
});
