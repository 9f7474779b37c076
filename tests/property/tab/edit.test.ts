import fc from 'fast-check';
import { describe, test } from 'vitest';
import * as edit from '../../../lib/tab/edit';
import { checkFill } from '../../../lib/tab/fill';
import { hashStrokes } from '../../../lib/tab/hash';
import { BY, sameStrokes } from '../../../lib/tab/measure';
import { parseStrokes } from '../../../lib/tab/parse';
import { STRINGS } from '../../../lib/units';
import { anyMeasure } from '../../kit/measures';

const SEED = { seed: 1, numRuns: 500 };
const spot = fc.record({
  slot: fc.nat({ max: 7 }),
  string: fc.constantFrom(...STRINGS),
  fret: fc.nat({ max: 12 }),
  by: fc.constantFrom(...BY),
});

describe('editing', () => {
  test('a measure that adds up still does after any note or kind was set or taken away in it', () =>
    fc.assert(
      fc.property(anyMeasure, fc.array(spot, { maxLength: 8 }), (measure, spots) => {
        const whole = { ...measure, ticks: measure.strokes.reduce((sum, s) => sum + s.length, 0) };
        fc.pre(checkFill(whole).length === 0);
        let edited = whole;
        for (const { slot, string, fret, by } of spots) {
          const at = slot * measure.meter.slot;
          if (at >= whole.ticks) continue;
          edited = edit.withNote(edited, at, string, fret);
          edited = edit.withBy(edited, at, by, string);
          edited = edit.withoutNote(edited, at, string);
          if (checkFill(edited).length > 0) return false;
        }
        return true;
      }),
      SEED,
    ));

  test('longer and then as much shorter is as before', () =>
    fc.assert(
      fc.property(
        anyMeasure,
        fc.nat({ max: 12 }),
        fc.integer({ min: 1, max: 960 }),
        (measure, index, by) =>
          sameStrokes(
            edit.withLength(edit.withLength(measure, index, by), index, -by).strokes,
            measure.strokes,
          ),
      ),
      SEED,
    ));
});

describe('strokes as data', () => {
  test('parse after write is the same, and so is the fingerprint', () =>
    fc.assert(
      fc.property(anyMeasure, ({ strokes }) => {
        const parsed = parseStrokes(JSON.parse(JSON.stringify(strokes)));
        return (
          parsed.ok &&
          sameStrokes(parsed.value, strokes) &&
          hashStrokes(parsed.value) === hashStrokes(strokes)
        );
      }),
      SEED,
    ));

  test('any foreign value is parsed or refused, never thrown at', () =>
    fc.assert(
      fc.property(fc.anything(), (value) => typeof parseStrokes(value).ok === 'boolean'),
      SEED,
    ));

  test('two measures with different strokes have different fingerprints', () =>
    fc.assert(
      fc.property(
        anyMeasure,
        anyMeasure,
        (a, b) =>
          sameStrokes(a.strokes, b.strokes) || hashStrokes(a.strokes) !== hashStrokes(b.strokes),
      ),
      SEED,
    ));
});
