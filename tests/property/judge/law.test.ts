import fc from 'fast-check';
import { expect, test } from 'vitest';
import { problemsOf } from '../../../lib/judge';
import type { By, Measure, Stroke } from '../../../lib/tab/measure';
import { BY } from '../../../lib/tab/measure';
import { STRINGS } from '../../../lib/units';
import { playable } from '../embellish/measures';
import { isLegal } from './law';

/** One thing about one stroke that somebody changes by hand, legal or not. */
const edits = fc.oneof(
  fc.record({
    kind: fc.constant('by'),
    by: fc.constantFrom<By>(...BY.filter((by) => by !== 'rest')),
  }),
  fc.record({ kind: fc.constant('fret'), fret: fc.integer({ min: 0, max: 24 }) }),
  fc.record({ kind: fc.constant('string'), string: fc.constantFrom(...STRINGS) }),
  fc.record({ kind: fc.constant('border'), slots: fc.constantFrom(-2, -1, -0.5, 0.5, 1, 2) }),
  fc.record({ kind: fc.constant('length'), slots: fc.constantFrom(-1, -0.5, 0.5, 1) }),
);
type Edit = typeof edits extends fc.Arbitrary<infer T> ? T : never;

/** The stroke with the change; its first note where strings or frets are meant. */
function edited(stroke: Stroke, edit: Edit, slot: number): Stroke {
  const [note, ...more] = stroke.notes;
  if ('by' in edit) return note ? { ...stroke, by: edit.by } : stroke;
  if ('fret' in edit)
    return note ? { ...stroke, notes: [{ ...note, fret: edit.fret }, ...more] } : stroke;
  if ('string' in edit)
    return note && more.length === 0
      ? { ...stroke, notes: [{ ...note, string: edit.string }] }
      : stroke;
  const length = stroke.length + edit.slots * slot;
  return length > 0 ? { ...stroke, length } : stroke;
}

/** The measure with some strokes changed; where a border moves, the next stroke gives or takes what this one takes or gives. */
function changed(
  measure: Measure,
  all: readonly { readonly at: number; readonly edit: Edit }[],
): Measure {
  const { slot } = measure.meter;
  let strokes = measure.strokes;
  for (const { at, edit } of all) {
    const index = at % strokes.length;
    const before = strokes[index];
    if (!before) continue;
    const after = edited(before, edit, slot);
    const more = after.length - before.length;
    const next = strokes[index + 1];
    if (edit.kind === 'border' && (!next || next.length - more <= 0)) continue;
    strokes = strokes.map((stroke, i) => {
      if (i === index) return after;
      return i === index + 1 && edit.kind === 'border'
        ? { ...stroke, at: stroke.at + more, length: stroke.length - more }
        : stroke;
    });
  }
  return { ...measure, strokes };
}

/** Chords of stopped strings need fingers, which tests/property/hands asks. */
function hasStoppedChord({ strokes }: Measure): boolean {
  return strokes.some(({ notes }) => notes.filter(({ fret }) => fret > 0).length > 1);
}

test('whatever is changed by hand, problems are found exactly where the law is broken', () => {
  const count = { legal: 0, illegal: 0 };
  fc.assert(
    fc.property(
      playable,
      fc.array(fc.record({ at: fc.nat(), edit: edits }), { minLength: 1, maxLength: 3 }),
      ({ measure, neck }, all) => {
        const varied = changed(measure, all);
        fc.pre(!hasStoppedChord(varied));
        const legal = isLegal(varied, neck);
        count[legal ? 'legal' : 'illegal'] += 1;
        expect(problemsOf(varied, neck).map(({ code }) => code).length === 0).toBe(legal);
      },
    ),
    { seed: 1, numRuns: 5000 },
  );
  expect(count.legal).toBeGreaterThan(500);
  expect(count.illegal).toBeGreaterThan(2000);
});
