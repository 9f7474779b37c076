import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Level } from '../../../lib/hands/level';
import type { Key } from '../../../lib/harmony';
import { MODES } from '../../../lib/harmony';
import { ideas } from '../../../lib/ideas/ideas';
import { melodyOf } from '../../../lib/melody-marks';
import { METER_NAMES } from '../../../lib/rhythm';
import type { Measure, Stroke } from '../../../lib/tab/measure';
import type { Neck } from '../../../lib/tuning';
import { midiAt, neckOf, TUNINGS } from '../../../lib/tuning';
import { describe as say } from '../../../lib/words/describe';
import { readWords } from '../../kit/read-words';
import { playable } from '../embellish/measures';

/** Random measures in each of the six tunings, of all meters and pickups: over two thousand in all. */
const MEASURES_EACH = 340;
const keys = fc.record<Key>({
  tonic: fc.constantFrom('G', 'D', 'A', 'C', 'F#'),
  mode: fc.constantFrom(...MODES),
});
const options = fc.record({
  level: fc.constantFrom<Level>(1, 3, 5),
  busyness: fc.constantFrom(0, 0.5, 1),
  limit: fc.constant(5),
});

/** Strokes one after the other from the first tick to the last, told without the module that asks the same. */
function addsUp({ ticks, strokes }: Measure): boolean {
  let reached = 0;
  for (const { at, length } of strokes) {
    if (at !== reached || length <= 0) return false;
    reached += length;
  }
  return reached === ticks;
}

/**
 * Fingers on the way down, the thumb on the way up; in 6/8 down, down, up.
 * Source: the law of the picking hand, common practice, no source; told without the module that asks the same.
 */
function obeysTheHand({ meter, startsAt, strokes }: Measure): boolean {
  return strokes.every(({ at, by }) => {
    const slot = (startsAt + at) / meter.slot;
    const up = meter.name === '6/8' ? slot % 3 === 2 : slot % 2 === 1;
    const down = meter.name === '6/8' ? slot % 3 < 2 && Number.isInteger(slot) : slot % 2 === 0;
    if (by === 'thumb') return up;
    return by === 'strike' || by === 'brush' || by === 'chop' ? down : true;
  });
}

/** The bum-ditty of a moment, as its number in the bar. Source: 4 + 4 slots, in 3/4 4 + 2, in 6/8 3 + 3. */
function bumDitty({ meter, startsAt }: Measure, at: number): number {
  return (startsAt + at) / meter.slot < (meter.name === '6/8' ? 3 : 4) ? 0 : 1;
}

/** Part of the plain measure's melody notes that are heard at their pitch in their own bum-ditty, on any string. */
function shareHeard(plain: Measure, strokes: readonly Stroke[], neck: Neck): number {
  const melody = melodyOf(plain, neck);
  const heard = strokes
    .filter(({ by }) => by !== 'chop')
    .flatMap(({ at, notes }) =>
      notes.map(({ string, fret }) => `${bumDitty(plain, at)}: ${midiAt(neck, string, fret)}`),
    );
  const kept = melody.filter(({ at, midi }) => heard.includes(`${bumDitty(plain, at)}: ${midi}`));
  return melody.length === 0 ? 1 : kept.length / melody.length;
}

/** A third of the melody may be missing, so that one note of three is. Source: as the tune judges, our estimate. */
const LEAST_HEARD = 0.66;

describe('every idea adds up, obeys the hand, keeps the tune, and is read back from its words', () => {
  test.each(TUNINGS.map((tuning) => [tuning.id, tuning] as const))('in %s', (_, tuning) => {
    let found = 0;
    const places = new Set<string>();
    fc.assert(
      fc.property(playable, keys, options, ({ measure, neck: { capo } }, key, wanted) => {
        const neck = neckOf(tuning, capo);
        const { meter, startsAt } = measure;
        for (const { strokes } of ideas(measure, { neck, key, tempo: 80 }, wanted)) {
          const varied = { ...measure, strokes };
          found += 1;
          places.add(`${meter.name} from ${startsAt}`);
          expect(addsUp(varied)).toBe(true);
          expect(obeysTheHand(varied)).toBe(true);
          expect(shareHeard(measure, strokes, neck)).toBeGreaterThanOrEqual(LEAST_HEARD);
          expect(readWords(meter.name, say(varied, neck), neck)).toEqual({ startsAt, strokes });
        }
      }),
      { seed: 1, numRuns: MEASURES_EACH },
    );
    expect(found).toBeGreaterThan(2 * MEASURES_EACH);
    expect(places.size).toBe(METER_NAMES.length * 2);
  });
});
