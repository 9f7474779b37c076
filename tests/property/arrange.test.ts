import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Arrangement, ArrangeOptions } from '../../lib/arrange/arrange';
import { alternatives, arrange } from '../../lib/arrange/arrange';
import { MODES } from '../../lib/harmony';
import { problemsOf } from '../../lib/judge';
import type { Melody, MelodyMeasure, MelodyNote } from '../../lib/melody';
import type { Meter } from '../../lib/rhythm';
import { METER_NAMES, meterNamed } from '../../lib/rhythm';
import { measureOf } from '../../lib/tune';
import { midiAt, neckOf, TUNINGS } from '../../lib/tuning';

/** Lengths that melodies have: slots, dotted and halved ones, triplets. */
const LENGTHS = [60, 80, 120, 160, 240, 240, 240, 360, 480, 480, 480, 720, 960, 1920];
const CHORDS = [undefined, 'G', 'C', 'D7', 'Am', 'F', 'Bdim', 'E/G#', 'N.C.'];

/** Notes and rests (midi 0) one after the other until the measure is full. */
function measureFrom(
  ticks: number,
  startsAt: number,
  draws: readonly { readonly length: number; readonly midi: number; readonly tied: boolean }[],
  chord: string | undefined,
): MelodyMeasure {
  const notes: MelodyNote[] = [];
  let at = 0;
  for (const { length: wanted, midi, tied } of draws) {
    const length = Math.min(wanted, ticks - at);
    if (length <= 0) break;
    if (midi > 0) notes.push({ at, length, midi, ...(tied && at === 0 ? { tied } : {}) });
    at += length;
  }
  return { startsAt, ticks, notes, ...(chord === undefined ? {} : { chord }) };
}

function measureIn(meter: Meter) {
  const draw = fc.record({
    length: fc.constantFrom(...LENGTHS),
    midi: fc.oneof(
      { weight: 9, arbitrary: fc.integer({ min: 55, max: 79 }) },
      { weight: 1, arbitrary: fc.constant(0) },
    ),
    tied: fc.boolean(),
  });
  const pickup = fc.oneof(
    { weight: 3, arbitrary: fc.constant(meter.measure) },
    { weight: 1, arbitrary: fc.constantFrom(60, 120, 240, 480, 720) },
  );
  return fc
    .tuple(
      fc.array(draw, { minLength: 1, maxLength: 16 }),
      pickup,
      fc.boolean(),
      fc.constantFrom(...CHORDS),
    )
    .map(([draws, ticks, late, chord]) =>
      measureFrom(ticks, late ? meter.measure - ticks : 0, draws, chord),
    );
}

const melodies = fc
  .record({
    meter: fc.constantFrom(...METER_NAMES).map(meterNamed),
    tonic: fc.constantFrom('C', 'D', 'E', 'G', 'A', 'Bb', 'F#'),
    mode: fc.constantFrom(...MODES),
  })
  .chain(({ meter, tonic, mode }) =>
    fc.array(measureIn(meter), { minLength: 1, maxLength: 6 }).map(
      (measures): Melody => ({
        title: 'Try',
        meter,
        key: { tonic, mode },
        parts: [{ letter: 'A', measures }],
        form: ['A', 'A'],
      }),
    ),
  );

const necks = fc
  .tuple(fc.constantFrom(...TUNINGS), fc.constantFrom(0, 2, 5))
  .map(([tuning, capo]) => neckOf(tuning, capo));

/** Is `some` part of `all` in the same order? */
function inOrderWithin(some: readonly number[], all: readonly number[]): boolean {
  let found = 0;
  for (const value of all) if (value === some[found]) found += 1;
  return found === some.length;
}

function checkArrangement(
  melody: Melody,
  { tune, transposed, kept, of, moved, remarks }: Arrangement,
): void {
  const written = melody.parts.flatMap((part) => part.measures);
  const plain = tune.parts.flatMap((part) => part.measures);
  expect(plain.map(({ id }) => id)).toEqual(written.map((_, i) => `m${i + 1}`));
  let heard = 0;
  let inPlace = 0;
  for (const [i, measure] of plain.entries()) {
    expect(problemsOf(measureOf(tune.meter, measure), tune.neck)).toEqual([]);
    const struck = (written[i]?.notes ?? []).filter((note) => note.tied !== true);
    const marked = measure.melody.map(
      (at) => measure.strokes.find((stroke) => stroke.at === at)?.notes ?? [],
    );
    expect(marked.every((notes) => notes.length === 1)).toBe(true);
    const pitches = marked.flatMap((notes) =>
      notes.map(({ string, fret }) => midiAt(tune.neck, string, fret) - transposed),
    );
    expect(
      inOrderWithin(
        pitches,
        struck.map(({ midi }) => midi),
      ),
    ).toBe(true);
    heard += pitches.length;
    inPlace += measure.melody.filter((at, n) =>
      struck.some((note) => note.at === at && note.midi === pitches[n]),
    ).length;
  }
  expect(heard).toBe(kept);
  expect(inPlace).toBeGreaterThanOrEqual(kept - moved);
  expect(of).toBe(
    written.flatMap(({ notes }) => notes.filter((note) => note.tied !== true)).length,
  );
  if (kept < of || moved > 0) expect(remarks.length).toBeGreaterThan(0);
}

describe('whatever the melody, what comes out can be played and is the melody', () => {
  it('in all meters and tunings, with pickups, ties, rests, triplets and sixteenths', () => {
    let arranged = 0;
    fc.assert(
      fc.property(melodies, necks, (melody, neck) => {
        const options: ArrangeOptions = { neck };
        const result = arrange(melody, options);
        if (!result.ok) {
          for (const { words } of result.problems) expect(words).toMatch(/\.$/);
          return;
        }
        arranged += 1;
        checkArrangement(melody, result.value);
      }),
      { seed: 1, numRuns: 1500 },
    );
    expect(arranged).toBeGreaterThan(1000);
  });
  it('without a neck, the one taken is the first alternative', () => {
    fc.assert(
      fc.property(melodies, (melody) => {
        const result = arrange(melody);
        if (!result.ok) return;
        checkArrangement(melody, result.value);
        const inKey = alternatives(melody).filter(({ transpose }) => transpose % 12 === 0);
        expect(inKey[0]?.neck).toEqual(result.value.tune.neck);
      }),
      { seed: 1, numRuns: 100 },
    );
  });
});
