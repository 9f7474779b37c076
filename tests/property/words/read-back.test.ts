import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { FAMILIES } from '../../../lib/embellish/all';
import { METER_NAMES } from '../../../lib/rhythm';
import type { Measure } from '../../../lib/tab/measure';
import type { Neck } from '../../../lib/tuning';
import { hasFret } from '../../../lib/tuning';
import { describeStroke, describe as say } from '../../../lib/words/describe';
import { anyMeasure, jumbledMeasure } from '../../kit/measures';
import { readStroke, readWords } from '../../kit/read-words';
import { playable } from '../embellish/measures';

/** What somebody is in the middle of writing or lies in a foreign document: any frets, mostly open strings, or one fret for all. */
const anything: fc.Arbitrary<Measure> = fc
  .tuple(
    fc.oneof(anyMeasure, jumbledMeasure),
    fc.constantFrom<(fret: number) => number>(
      (fret) => fret,
      (fret) => (fret > 9 ? fret : 0),
      () => 2,
    ),
  )
  .map(([measure, fretOf]) => ({
    ...measure,
    strokes: measure.strokes.map((stroke) => ({
      ...stroke,
      notes: stroke.notes.map(({ string, fret }) => ({ string, fret: fretOf(fret) })),
    })),
  }));

/** Read back, the sentence gives exactly the strokes, and where the measure begins. */
function expectReadBack({ meter, startsAt, strokes, ticks }: Measure, neck?: Neck): void {
  const read = readWords(meter.name, say({ meter, startsAt, strokes, ticks }, neck), neck);
  expect(read).toEqual({ startsAt: strokes.length === 0 ? 0 : startsAt, strokes });
}

describe('read back, words give exactly the strokes', () => {
  test('of measures that can be played, in all meters, pickups and tunings', () => {
    const meters = new Set<string>();
    const tunings = new Set<string>();
    fc.assert(
      fc.property(playable, ({ measure, neck }) => {
        meters.add(`${measure.meter.name}${measure.startsAt > 0 ? ' pickup' : ''}`);
        tunings.add(neck.tuning.id);
        expectReadBack(measure);
        expectReadBack(measure, neck);
      }),
      { seed: 1, numRuns: 2000 },
    );
    expect(meters.size).toBe(METER_NAMES.length * 2);
    expect(tunings.size).toBe(6);
  });

  test('of everything that the families offer', () => {
    let offers = 0;
    fc.assert(
      fc.property(playable, fc.nat(), fc.constantFrom(...FAMILIES), (at, index, family) => {
        const { measure, neck } = at;
        const stroke = index % measure.strokes.length;
        for (const { strokes } of family.apply(measure, stroke, neck).offers) {
          offers += 1;
          expectReadBack({ ...measure, strokes }, neck);
        }
      }),
      { seed: 1, numRuns: 2000 },
    );
    expect(offers).toBeGreaterThan(2000);
  });

  test('of what somebody is in the middle of writing, and of what lies in a foreign document', () => {
    fc.assert(
      fc.property(anything, (measure) => expectReadBack(measure)),
      { seed: 1, numRuns: 2000 },
    );
  });

  test('of each stroke alone', () => {
    fc.assert(
      fc.property(anything, (measure) => {
        for (const [index, stroke] of measure.strokes.entries()) {
          const words = describeStroke(measure, index);
          const at = stroke.at + measure.startsAt;
          expect(readStroke(measure.meter.name, words)).toEqual({ ...stroke, at });
        }
      }),
      { seed: 1, numRuns: 500 },
    );
  });

  test('of each stroke alone with its letter', () => {
    fc.assert(
      fc.property(playable, ({ measure, neck }) => {
        for (const [index, stroke] of measure.strokes.entries()) {
          expect(stroke.notes.every(({ string, fret }) => hasFret(neck, string, fret))).toBe(true);
          const words = describeStroke(measure, index, neck);
          const at = stroke.at + measure.startsAt;
          expect(readStroke(measure.meter.name, words, neck)).toEqual({ ...stroke, at });
        }
      }),
      { seed: 1, numRuns: 300 },
    );
  });
});

/** What somebody hears who misses one word, or undefined where that makes no sense. */
function heardWithout(measure: Measure, words: readonly string[], missed: number) {
  const heard = words.filter((_, i) => i !== missed).join(' ');
  try {
    return readWords(measure.meter.name, heard.charAt(0).toUpperCase() + heard.slice(1));
  } catch (problem) {
    if (problem instanceof RangeError) return undefined;
    throw problem;
  }
}

test('no word is idle: without it the sentence makes no sense or tells of something else', () => {
  let missed = 0;
  fc.assert(
    fc.property(
      fc.oneof(
        playable.map(({ measure }) => measure),
        anyMeasure,
      ),
      (measure) => {
        const words = say(measure).split(' ');
        for (const index of words.keys()) {
          missed += 1;
          expect(heardWithout(measure, words, index)).not.toEqual({
            startsAt: measure.startsAt,
            strokes: measure.strokes,
          });
        }
      },
    ),
    { seed: 1, numRuns: 400 },
  );
  expect(missed).toBeGreaterThan(5000);
});
