import fc from 'fast-check';
import type { Key } from '../../../lib/harmony';
import { MODES } from '../../../lib/harmony';
import { melodyMarks } from '../../../lib/melody-marks';
import type { Meter } from '../../../lib/rhythm';
import { METER_NAMES, meterNamed } from '../../../lib/rhythm';
import { checked } from '../../../lib/structure/layout';
import type { By, Note, Stroke } from '../../../lib/tab/measure';
import type { ChordChange, Part, PlainMeasure, Tune } from '../../../lib/tune';
import type { Neck } from '../../../lib/tuning';
import { hasFret, neckOf, TUNINGS } from '../../../lib/tuning';
import type { MeasureId, StringNumber, Ticks } from '../../../lib/units';
import { layoutOf } from '../../kit/layouts';

/** All six tunings, every capo, the drone mostly raised along. */
const anyNeck: fc.Arbitrary<Neck> = fc
  .tuple(
    fc.constantFrom(...TUNINGS),
    fc.constantFrom(0, 0, 0, 1, 2, 3, 4, 5, 7),
    fc.constantFrom(undefined, undefined, undefined, 0, 2),
  )
  .map(([tuning, capo, drone]) => neckOf(tuning, capo, drone));

const anyKey: fc.Arbitrary<Key> = fc
  .tuple(
    fc.constantFrom('C', 'D', 'E', 'F', 'G', 'A', 'Bb', 'Eb', 'F#', 'C#', 'Ab'),
    fc.constantFrom(...MODES),
  )
  .map(([tonic, mode]) => ({ tonic, mode }));

interface Draw {
  readonly by: By;
  readonly string: StringNumber;
  readonly fret: number;
  readonly length: Ticks;
}

const SINGLE: readonly By[] = ['strike', 'strike', 'thumb', 'hammer', 'pull', 'slide', 'pluck'];

function draws(meter: Meter): fc.Arbitrary<readonly Draw[]> {
  const { slot } = meter;
  const lengths = [1, 1, 1, 1, 2, 2, 2, 3, 4, 0.5, 1.5, 2 / 3, 1 / 3].map((n) => n * slot);
  return fc.array(
    fc.record<Draw>({
      by: fc.constantFrom<By>(...SINGLE, 'brush', 'brush', 'chop', 'rest'),
      string: fc.constantFrom<StringNumber>(1, 2, 3, 4, 5),
      fret: fc.constantFrom(0, 0, 0, 1, 2, 3, 4, 5, 7, 9, 12),
      length: fc.constantFrom(...lengths),
    }),
    { minLength: 1, maxLength: 12 },
  );
}

function notesFrom({ by, string, fret }: Draw, neck: Neck): readonly Note[] {
  if (by === 'rest') return [];
  const note = { string, fret: hasFret(neck, string, fret) ? fret : 0 };
  if (by !== 'brush' && by !== 'chop') return [note];
  const others: readonly StringNumber[] = [1, 2, 3];
  const more = others
    .filter((other) => other !== string)
    .map((other) => ({ string: other, fret: 0 }));
  return [note, ...more].sort((a, b) => a.string - b.string);
}

/** The draws one after the other until the measure is full. */
function strokesFrom(list: readonly Draw[], neck: Neck, ticks: Ticks): readonly Stroke[] {
  const strokes: Stroke[] = [];
  let at = 0;
  for (const [i, draw] of list.entries()) {
    const isLast = i === list.length - 1;
    const length = isLast ? ticks - at : Math.min(draw.length, ticks - at);
    if (length <= 0) break;
    strokes.push({ at, length, by: draw.by, notes: notesFrom(draw, neck) });
    at += length;
  }
  return strokes;
}

type Bare = Omit<PlainMeasure, 'id'>;

/** Chords that begin inside a measure, mostly none: on slots and between them. */
function changesIn(meter: Meter, ticks: Ticks): fc.Arbitrary<readonly ChordChange[]> {
  const places = Array.from({ length: Math.ceil(ticks / (meter.slot / 2)) - 1 }, (_, i) => i + 1);
  return fc
    .subarray(places, { maxLength: Math.min(2, places.length) })
    .map((halves) =>
      halves.map((half, i) => ({ at: (half * meter.slot) / 2, symbol: i === 0 ? 'Em' : 'Bb7' })),
    );
}

function measureIn(meter: Meter, neck: Neck, startsAt: Ticks, ticks: Ticks): fc.Arbitrary<Bare> {
  return fc
    .tuple(
      draws(meter),
      fc.constantFrom(undefined, undefined, 'G', 'D7', 'Am', 'F#m7', 'C/E', 'N.C.'),
      changesIn(meter, ticks),
    )
    .map(([list, chord, chords]) => {
      const strokes = strokesFrom(list, neck, ticks);
      const melody = melodyMarks({ meter, startsAt, ticks, strokes });
      return {
        startsAt,
        ticks,
        strokes,
        melody,
        ...(chord === undefined ? {} : { chord }),
        ...(chords.length === 0 ? {} : { chords }),
      };
    });
}

/** The measures of a part: with a pickup and the measure that it completes, with two endings, or plain. */
function measuresIn(meter: Meter, neck: Neck, times: number): fc.Arbitrary<readonly Bare[]> {
  const { measure, slot } = meter;
  const full = measureIn(meter, neck, 0, measure);
  const body = fc.array(full, { minLength: 1, maxLength: 3 });
  const pickup = slot * 2;
  const withPickup = fc
    .tuple(
      measureIn(meter, neck, measure - pickup, pickup),
      body,
      measureIn(meter, neck, 0, measure - pickup),
    )
    .map(([first, middle, last]) => [first, ...middle, last]);
  const withEndings = fc
    .tuple(body, full, full)
    .map(([middle, first, second]): readonly Bare[] => [
      ...middle,
      { ...first, endings: [1] },
      { ...second, endings: [2] },
    ]);
  return times === 2 ? fc.oneof(body, withPickup, withEndings) : fc.oneof(body, withPickup);
}

const FORMS: readonly (readonly string[])[] = [
  ['A'],
  ['A', 'A'],
  ['A', 'B'],
  ['A', 'A', 'B', 'B'],
  ['A', 'A', 'B'],
  ['A', 'A', 'B', 'B', 'C'],
];

/** A tune that adds up, in any meter, tuning, capo and key. Its parts come in their order. */
export const anyTune: fc.Arbitrary<Tune> = fc
  .record({
    meter: fc.constantFrom(...METER_NAMES).map(meterNamed),
    neck: anyNeck,
    key: anyKey,
    form: fc.constantFrom(...FORMS),
    tempo: fc.integer({ min: 20, max: 240 }),
    title: fc.constantFrom('Try', 'A <b> & "c"', 'Grüße aus 東京', 'x'),
  })
  .chain(({ meter, neck, form, ...head }) => {
    const letters = [...new Set(form)];
    const parts = letters.map((letter) =>
      measuresIn(meter, neck, form.filter((one) => one === letter).length),
    );
    return fc.tuple(...parts).map((list): Tune => {
      let number = 0;
      const made = list.map(
        (measures, i): Part => ({
          letter: letters[i] ?? 'A',
          measures: measures.map((measure) => {
            number += 1;
            return { id: `m${number}` as MeasureId, ...measure };
          }),
        }),
      );
      return { ...head, meter, neck, form, parts: made };
    });
  });

/** A measure of any length and place in its bar that is legal. Mostly whole slots, sometimes parts of them. */
function anyMeasureIn(meter: Meter, neck: Neck): fc.Arbitrary<Bare> {
  const grid = fc.constantFrom(1, 1, 1, 2, 3).map((parts) => meter.slot / parts);
  return fc
    .record({ grid, from: fc.nat(99), to: fc.nat(99), kind: fc.nat(5) })
    .chain(({ grid: step, from, to, kind }) => {
      const steps = meter.measure / step;
      const start = kind < 3 ? 0 : from % steps;
      const end = kind === 0 || kind === 3 ? steps : start + 1 + (to % (steps - start));
      return measureIn(meter, neck, start * step, (end - start) * step);
    });
}

/** A tune as leaders may leave it: measures of any legal shape in any order, endings anywhere, parts played in any order. */
export const anyCrooked: fc.Arbitrary<Tune> = fc
  .record({
    meter: fc.constantFrom(...METER_NAMES).map(meterNamed),
    neck: anyNeck,
    key: anyKey,
    form: fc.array(fc.constantFrom('A', 'A', 'B', 'X'), { minLength: 1, maxLength: 6 }),
    tempo: fc.integer({ min: 20, max: 240 }),
    title: fc.constantFrom('Try', 'Crooked'),
  })
  .chain(({ meter, neck, form, ...head }) => {
    const measure = fc
      .tuple(
        anyMeasureIn(meter, neck),
        fc.constantFrom(undefined, undefined, undefined, undefined, [1], [2], [1, 3]),
      )
      .map(([bare, endings]): Bare => (endings ? { ...bare, endings } : bare));
    const letters = [...new Set(form)].sort();
    const parts = letters.map(() => fc.array(measure, { minLength: 1, maxLength: 6 }));
    return fc.tuple(...parts).map((list): Tune => {
      const made = list.map(
        (measures, p): Part => ({
          letter: letters[p] ?? 'A',
          measures: measures.map((one, m) => ({ id: `m${p}x${m}` as MeasureId, ...one })),
        }),
      );
      return { ...head, meter, neck, form, parts: made };
    });
  })
  .filter((tune) => checked(layoutOf(tune)).ok);

/** Strokes that nobody checked: over and beside one another, too long, on frets that are not there. */
export const anyStrokes: fc.Arbitrary<readonly Stroke[]> = fc.array(
  fc
    .record({
      at: fc.nat({ max: 2400 }),
      length: fc.integer({ min: 1, max: 2400 }),
      by: fc.constantFrom<By>(...SINGLE, 'brush', 'chop', 'rest'),
      string: fc.constantFrom<StringNumber>(1, 2, 3, 4, 5),
      fret: fc.nat({ max: 24 }),
    })
    .map(({ at, length, by, string, fret }) => ({
      at,
      length,
      by,
      notes: by === 'rest' ? [] : [{ string, fret }],
    })),
  { maxLength: 10 },
);
