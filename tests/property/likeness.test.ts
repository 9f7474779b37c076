import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Key } from '../../lib/harmony';
import { MODES, scaleOf } from '../../lib/harmony';
import { melodyKept } from '../../lib/likeness';
import { melodyMarks, melodyOf } from '../../lib/melody-marks';
import type { LineNote } from '../../lib/mongeau-sankoff';
import { lineDistance, lineLikeness } from '../../lib/mongeau-sankoff';
import { playable } from './embellish/measures';

const RUNS = { seed: 1, numRuns: 500 };
const note: fc.Arbitrary<LineNote> = fc.record({
  midi: fc.integer({ min: 48, max: 76 }),
  sixteenths: fc.constantFrom(2 / 3, 1, 2, 4, 8),
});
const line = fc.array(note, { maxLength: 8 });
const scale = fc
  .record<Key>({ tonic: fc.constantFrom('G', 'D', 'A', 'C'), mode: fc.constantFrom(...MODES) })
  .map(scaleOf);

describe('the distance of two lines', () => {
  test('is 0 for a line and itself', () => {
    fc.assert(
      fc.property(line, scale, (a, s) => {
        expect(lineDistance(a, a, s)).toBe(0);
        expect(lineLikeness(a, a, s)).toBe(1);
      }),
      RUNS,
    );
  });

  test('is 0 for a line and the same an octave higher', () => {
    fc.assert(
      fc.property(line, scale, (a, s) => {
        const higher = a.map((n) => ({ ...n, midi: n.midi + 12 }));
        expect(lineDistance(a, higher, s)).toBeCloseTo(0, 9);
      }),
      RUNS,
    );
  });

  test('is never negative, the same both ways, and gives a likeness from 0 to 1', () => {
    fc.assert(
      fc.property(line, line, scale, (a, b, s) => {
        expect(lineDistance(a, b, s)).toBeGreaterThanOrEqual(0);
        expect(lineDistance(a, b, s)).toBeCloseTo(lineDistance(b, a, s), 9);
        const likeness = lineLikeness(a, b, s);
        expect(likeness).toBeGreaterThanOrEqual(0);
        expect(likeness).toBeLessThanOrEqual(1);
      }),
      RUNS,
    );
  });

  test('does not grow when both lines go on with the same note', () => {
    fc.assert(
      fc.property(line, line, note, scale, (a, b, n, s) => {
        expect(lineDistance([...a, n], [...b, n], s)).toBeLessThanOrEqual(
          lineDistance(a, b, s) + 1e-9,
        );
      }),
      RUNS,
    );
  });

  test('is no more than leaving out all and adding all', () => {
    fc.assert(
      fc.property(line, line, scale, (a, b, s) => {
        expect(lineDistance(a, b, s)).toBeLessThanOrEqual(
          lineDistance(a, [], s) + lineDistance([], b, s) + 1e-9,
        );
      }),
      RUNS,
    );
  });
});

test('a measure keeps its own melody, every mark is one of its strokes, and no drone is marked', () => {
  fc.assert(
    fc.property(playable, ({ measure, neck }) => {
      const { kept, of, missing } = melodyKept(melodyOf(measure, neck), measure, neck);
      expect(missing).toEqual([]);
      expect(kept).toBe(of);
      for (const at of melodyMarks(measure)) {
        const stroke = measure.strokes.find((other) => other.at === at);
        expect(stroke).toBeDefined();
        expect(stroke?.by === 'thumb' && stroke.notes[0]?.string === 5).toBe(false);
      }
    }),
    RUNS,
  );
});
