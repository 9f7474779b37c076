import fc from 'fast-check';
import { expect, test } from 'vitest';
import { toMusicXml } from '../../../lib/formats/musicxml/write';
import type { WrittenPass } from '../../../lib/formats/pass';
import { midiOf, PLAIN_PASS, strokesIn } from '../../../lib/formats/pass';
import type { Tune } from '../../../lib/tune';
import { playOrder } from '../../../lib/tune';
import type { Heard } from '../../reference/formats/judges';
import { asTreble, heardByVerovio, schemaProblems } from '../../reference/formats/judges';
import { anyCrooked, anyStrokes, anyTune } from './tunes';

/** Verovio lays every score out: some 60 ms each, many times that on a busy machine. */
const VEROVIO_MS = 60_000;

/** Passes with strokes in the place of some measures, whether or not they add up. */
const source = anyTune.chain((tune) => {
  const ids = tune.parts.flatMap(({ measures }) => measures.map(({ id }) => id));
  const pass = fc
    .dictionary(fc.constantFrom(...ids), anyStrokes, { maxKeys: 3 })
    .map((strokes): WrittenPass => ({ name: 'Pass <2>', strokes }));
  return fc.record({
    tune: fc.constant(tune),
    passes: fc.array(pass, { minLength: 1, maxLength: 2 }),
  });
});

/** What our own strokes sound in quarters, repeats played out, by start, then pitch. */
function heardByUs(tune: Tune, passes: readonly WrittenPass[]): readonly Heard[] {
  const heard: Heard[] = [];
  let start = 0;
  for (const pass of passes)
    for (const { measure } of playOrder(tune)) {
      for (const { at, length, notes } of strokesIn(pass, measure))
        for (const note of notes)
          heard.push([(start + at) / 480, length / 480, midiOf(tune.neck, note)]);
      start += measure.ticks;
    }
  return heard.sort((a, b) => a[0] - b[0] || a[2] - b[2]);
}

/** Notes of one pitch that follow without a gap as one, since verovio tells tied notes one by one; times in ticks. */
function joined(heard: readonly Heard[]): readonly Heard[] {
  const notes: Heard[] = [];
  const open = new Map<number, number>();
  for (const [start, length, midi] of heard) {
    const [at, end] = [Math.round(start * 480), Math.round((start + length) * 480)];
    const index = open.get(midi);
    const last = index === undefined ? undefined : notes[index];
    if (index !== undefined && last && last[0] + last[1] >= at)
      notes[index] = [last[0], Math.max(last[1], end - last[0]), midi];
    else {
      open.set(midi, notes.length);
      notes.push([at, end - at, midi]);
    }
  }
  return notes;
}

test('whatever a board holds, its MusicXML is valid by the schema', () => {
  fc.assert(
    fc.property(source, ({ tune, passes }) => {
      expect(schemaProblems(toMusicXml({ tune, passes }))).toEqual([]);
    }),
    { seed: 1, numRuns: 250 },
  );
});

test.each([
  ['the notation staff', 1],
  ['the tab staff', 2],
] as const)(
  '%s sounds what the tune sounds, in time and pitch, and loads without complaint',
  (_, staff) => {
    fc.assert(
      fc.property(anyTune, (tune) => {
        const { notes, log } = heardByVerovio(asTreble(toMusicXml({ tune }), staff));
        expect(log).toBe('');
        expect(joined(notes)).toEqual(joined(heardByUs(tune, [PLAIN_PASS])));
      }),
      { seed: 2, numRuns: 40 },
    );
  },
  VEROVIO_MS,
);

/** Tunes of any structure once through, their measures in whole slots: verovio 6.3.0 does not play all repeats out, nor the shortest rests. */
const onceThrough = anyCrooked
  .map((tune) => ({ ...tune, form: tune.parts.map(({ letter }) => letter) }))
  .filter(({ parts, meter }) =>
    parts.every(({ measures }) =>
      measures.every(
        ({ startsAt, ticks }) => startsAt % meter.slot === 0 && ticks % meter.slot === 0,
      ),
    ),
  );

test('measures of any length are valid by the schema, in one pass and in two', () => {
  fc.assert(
    fc.property(anyCrooked, (tune) => {
      const passes = [PLAIN_PASS, { name: 'Pass 2', strokes: {} }];
      expect(schemaProblems(toMusicXml({ tune }))).toEqual([]);
      expect(schemaProblems(toMusicXml({ tune, passes }))).toEqual([]);
    }),
    { seed: 3, numRuns: 100 },
  );
});

test(
  'measures of any length sound what the tune sounds, and load without complaint',
  () => {
    fc.assert(
      fc.property(onceThrough, (tune) => {
        const { notes, log } = heardByVerovio(asTreble(toMusicXml({ tune }), 1));
        expect(log).toBe('');
        expect(joined(notes)).toEqual(joined(heardByUs(tune, [PLAIN_PASS])));
      }),
      { seed: 4, numRuns: 40 },
    );
  },
  VEROVIO_MS,
);
