import fc from 'fast-check';
import { METER_NAMES, meterNamed } from '../../lib/rhythm';
import type { Measure, Note, Stroke } from '../../lib/tab/measure';
import { BY } from '../../lib/tab/measure';
import type { Ticks } from '../../lib/units';
import { STRINGS } from '../../lib/units';

/** One to five notes on different strings, ascending, frets 0 to 12. */
const notes: fc.Arbitrary<readonly Note[]> = fc
  .uniqueArray(fc.record({ string: fc.constantFrom(...STRINGS), fret: fc.nat({ max: 12 }) }), {
    selector: (note) => note.string,
    minLength: 1,
    maxLength: 5,
  })
  .map((list) => [...list].sort((a, b) => a.string - b.string));

/** Who sounds it and what, without time. A rest has no notes, as the parser demands. */
const deed: fc.Arbitrary<Pick<Stroke, 'by' | 'notes'>> = fc
  .constantFrom(...BY)
  .chain((by) => (by === 'rest' ? fc.constant([]) : notes).map((list) => ({ by, notes: list })));

/** Whole slots mostly, and the parts of a slot that players use. */
function lengths(slot: Ticks): fc.Arbitrary<Ticks> {
  return fc.oneof(
    { weight: 4, arbitrary: fc.integer({ min: 1, max: 5 }).map((slots) => slots * slot) },
    { weight: 2, arbitrary: fc.constantFrom(slot / 2, (slot * 2) / 3, slot / 3, slot / 4) },
  );
}

/**
 * Any measure whose strokes stand one after the other, whether or not it adds up or can be played: what somebody may be in the
 * middle of writing. All meters, pickups too.
 */
export const anyMeasure: fc.Arbitrary<Measure> = fc.constantFrom(...METER_NAMES).chain((name) => {
  const meter = meterNamed(name);
  const startsAt = fc.integer({ min: 0, max: meter.measure / meter.slot - 1 });
  const strokes = fc.array(fc.tuple(deed, lengths(meter.slot)), { maxLength: 12 });
  return fc.tuple(startsAt, strokes).map(([slots, list]) => {
    const timed: Stroke[] = [];
    let at: Ticks = 0;
    for (const [stroke, length] of list) {
      timed.push({ at, length, ...stroke });
      at += length;
    }
    const begins = slots * meter.slot;
    return { meter, startsAt: begins, ticks: meter.measure - begins, strokes: timed };
  });
});

/** Strokes anywhere, in any order, over and beside one another: what the parser lets through from a foreign document. */
export const jumbledMeasure: fc.Arbitrary<Measure> = fc
  .tuple(
    anyMeasure,
    fc.array(fc.tuple(fc.nat({ max: 7680 }), fc.integer({ min: 1, max: 7680 }), deed), {
      maxLength: 12,
    }),
  )
  .map(([measure, list]) => ({
    ...measure,
    strokes: list.map(([at, length, stroke]) => ({ at, length, ...stroke })),
  }));
