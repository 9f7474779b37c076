import fc from 'fast-check';
import { handAt, METER_NAMES, meterNamed, slotsIn } from '../../../lib/rhythm';
import type { By, Measure, Note, Stroke } from '../../../lib/tab/measure';
import type { Neck } from '../../../lib/tuning';
import { hasFret, neckOf, TUNINGS } from '../../../lib/tuning';
import type { Fret, StringNumber } from '../../../lib/units';

/** A neck in any tuning, capo 0 to 4. */
export const necks: fc.Arbitrary<Neck> = fc
  .tuple(fc.constantFrom(...TUNINGS), fc.integer({ min: 0, max: 4 }))
  .map(([tuning, capo]) => neckOf(tuning, capo));

interface Seed {
  readonly slots: number;
  readonly by: number;
  readonly string: StringNumber;
  readonly fret: Fret;
}

const seeds: fc.Arbitrary<readonly Seed[]> = fc.array(
  fc.record({
    slots: fc.constantFrom(1, 1, 2, 2, 2, 3, 4),
    by: fc.nat({ max: 9 }),
    string: fc.constantFrom<StringNumber>(1, 2, 3, 4),
    fret: fc.constantFrom(0, 0, 0, 1, 2, 3, 4, 5, 7, 12, 17),
  }),
  { minLength: 8, maxLength: 8 },
);

/** The sound that a seed makes in a slot, given what the string before it holds: always one that can be played there. */
function soundOf(
  seed: Seed,
  hand: 'down' | 'up',
  neck: Neck,
  before: Note | undefined,
): { readonly by: By; readonly notes: readonly Note[] } {
  const fret = hasFret(neck, seed.string, seed.fret) ? seed.fret : 0;
  const note = { string: seed.string, fret };
  if (seed.by === 9) return { by: 'rest', notes: [] };
  if (hand === 'down') {
    if (seed.by < 6) return { by: 'strike', notes: [note] };
    return {
      by: 'brush',
      notes: [
        { string: 1, fret: 0 },
        { string: 2, fret },
        { string: 3, fret: 0 },
      ],
    };
  }
  if (before && seed.by > 6 && hasFret(neck, before.string, before.fret + 2))
    return { by: 'hammer', notes: [{ string: before.string, fret: before.fret + 2 }] };
  if (before && seed.by > 4 && before.fret > 0)
    return { by: 'pull', notes: [{ string: before.string, fret: 0 }] };
  if (seed.by > 2 || seed.string === 1) return { by: 'thumb', notes: [{ string: 5, fret: 0 }] };
  return { by: 'thumb', notes: [note] };
}

/** A measure without problems in any meter, full or a pickup, with the neck it is for. */
export const playable: fc.Arbitrary<{ readonly measure: Measure; readonly neck: Neck }> = fc
  .tuple(necks, fc.constantFrom(...METER_NAMES), fc.nat({ max: 5 }), seeds)
  .map(([neck, name, late, list]) => {
    const meter = meterNamed(name);
    const slots = slotsIn(meter);
    const first = late === 5 ? slots / 2 : 0;
    const strokes: Stroke[] = [];
    let slot = first;
    for (const seed of list) {
      if (slot >= slots) break;
      const last = strokes.at(-1);
      const before = last?.by === 'strike' ? last.notes[0] : undefined;
      const length = Math.min(seed.slots, slots - slot) * meter.slot;
      const sound = soundOf(seed, handAt(meter, slot), neck, before);
      strokes.push({ at: (slot - first) * meter.slot, length, ...sound });
      slot += length / meter.slot;
    }
    const missing = (slots - slot) * meter.slot;
    const end = strokes.at(-1);
    if (end && missing > 0) strokes[strokes.length - 1] = { ...end, length: end.length + missing };
    const startsAt = first * meter.slot;
    return { neck, measure: { meter, startsAt, ticks: meter.measure - startsAt, strokes } };
  });
