import { describe, expect, test } from 'vitest';
import { arrange } from '../../lib/arrange/arrange';
import { readAbc } from '../../lib/formats/abc/read';
import { problemsOf } from '../../lib/judge';
import type { Melody, MelodyPart } from '../../lib/melody';
import { SHELF } from '../../lib/shelf';
import { measureOf } from '../../lib/tune';
import { heardByUs } from '../kit/heard';
import { heardByAbcjs } from './formats/abcjs';

/**
 * The melodies a second time, as they are sung: degrees of the major scale, `,` an octave below and `'` above, `|` between parts. Written
 * down apart from the ABC and note by note. Source: common knowledge of song books, from memory.
 */
const SUNG: Readonly<Record<string, string>> = {
  cabbage: '3 3 3 3 4 4 4 4 3 3 3 3 2 2 2 3 3 3 3 4 4 4 4 3 3 2 2 1 1',
  lou: '3 1 3 3 3 5 2 7, 2 2 2 4 3 1 3 3 3 5 2 3 4 3 2 1 1',
  susanna:
    '1 2 3 5 5 6 5 3 1 2 3 3 2 1 2 1 2 3 5 5 6 5 3 1 2 3 3 2 2 1 | 4 4 6 6 6 5 5 3 1 2 1 2 3 5 5 6 5 3 1 2 3 3 2 2 1',
  doodle:
    '1 1 2 3 1 3 2 5, 1 1 2 3 1 7, 1 1 2 3 4 3 2 1 7, 5, 6, 7, 1 1 | 6, 7, 6, 5, 6, 7, 1 5, 6, 5, 4, 3, 5, 6, 7, 6, 5, 6, 7, 1 6, 5, 1 7, 2 1 1',
  weasel: '1 1 2 2 3 5 3 1 1 1 2 2 3 1 1 1 2 2 3 5 3 1 6 2 4 3 1',
  rhody: '3 3 2 1 1 2 2 4 3 2 1 5 5 4 3 3 2 1 2 3 1',
  mountain:
    '5, 6, 1 1 1 1 6, 5, 3, 5, 1 1 2 3 3 3 3 5 3 2 1 2 5 4 3 3 3 3 2 1 1 1 6, 6, 6, 6, 2 1 7, 6, 5, 5, 5, 5, 3 3 2 7, 1',
  bells:
    '3 3 3 3 3 3 3 5 1 2 3 4 4 4 4 4 3 3 3 3 2 2 3 2 5 3 3 3 3 3 3 3 5 1 2 3 4 4 4 4 4 3 3 3 5 5 4 2 1',
  clementine: '1 1 1 5, 3 3 3 1 1 3 5 5 4 3 2 2 3 4 4 3 2 3 1 1 3 2 5, 7, 2 1',
  syne: '5, 1 1 1 3 2 1 2 3 1 1 3 5 6 6 5 3 3 1 2 1 2 3 1 6, 6, 5, 1',
  bridge: '5 6 5 4 3 4 5 2 3 4 3 4 5 5 6 5 4 3 4 5 2 5 3 1',
  farmer: '5, 1 1 1 1 1 2 3 3 3 3 3 5 5 6 5 3 1 2 3 3 2 2 1',
  boat: "1 1 1 2 3 3 2 3 4 5 1' 1' 1' 5 5 5 3 3 3 1 1 1 5 4 3 2 1",
};

/** The 1 of every tune here: C4 or G4. */
const TONICS: Readonly<Record<string, number>> = { C: 60, G: 67 };
const MAJOR = [0, 2, 4, 5, 7, 9, 11];
/** Semitones from the lowest to the highest note that people sing together. Source: common practice, no source. */
const WIDEST = 17;

function degree(midi: number, tonic: number): string {
  const octave = Math.floor((midi - tonic) / 12);
  const place = MAJOR.indexOf(midi - tonic - 12 * octave);
  if (place < 0) return `${midi} is not in the scale`;
  return `${place + 1}${octave < 0 ? ','.repeat(-octave) : "'".repeat(octave)}`;
}

/** Each sung note of a part; what is tied over a bar line is one. */
function sungIn({ measures }: MelodyPart): readonly number[] {
  return measures.flatMap(({ notes }) =>
    notes.filter((note) => !note.tied).map(({ midi }) => midi),
  );
}

function melodyOf(abc: string): Melody {
  const read = readAbc(abc);
  if (!read.ok) throw new Error(read.problems.map(({ words }) => words).join(' '));
  return read.value.melody;
}

test('a dozen tunes or more, each told apart, each with where it comes from', () => {
  expect(SHELF.length).toBeGreaterThanOrEqual(12);
  expect(new Set(SHELF.map(({ id }) => id)).size).toBe(SHELF.length);
  expect(new Set(SHELF.map(({ title }) => title)).size).toBe(SHELF.length);
  for (const { origin } of SHELF)
    expect(origin).toMatch(/(1[5-8]\d\d|19th century).*\(from memory\)\.$/);
});

describe.each(SHELF.map((tune) => [tune.title, tune] as const))('%s', (title, { id, abc }) => {
  const melody = melodyOf(abc);
  const tonic = TONICS[melody.key.tonic] ?? Number.NaN;

  // An independent reader (abcjs 6.7.2) agrees in pitch, onset and length; none of these tunes hangs on what it gets wrong.
  test('is read as abcjs reads it', () => {
    expect(heardByUs(abc)).toEqual(heardByAbcjs(abc));
  });

  test('is what is sung, degree by degree', () => {
    const sung = melody.parts.map((part) => sungIn(part).map((midi) => degree(midi, tonic)));
    expect(sung.map((part) => part.join(' ')).join(' | ')).toBe(SUNG[id]);
  });

  test('has phrases of four measures, ends on the key note, and can be sung', () => {
    const { meter, parts } = melody;
    for (const { measures } of parts) {
      const ticks = measures.reduce((sum, measure) => sum + measure.ticks, 0);
      expect(ticks % (4 * meter.measure)).toBe(0);
    }
    const notes = parts.flatMap(sungIn);
    expect(notes.at(-1)).toBe(tonic);
    expect(Math.max(...notes) - Math.min(...notes)).toBeLessThanOrEqual(WIDEST);
  });

  test('is set with every note of its melody, and can be played', () => {
    const arranged = arrange(melody);
    if (!arranged.ok) throw new Error(arranged.problems[0]?.words);
    const { tune, kept, of } = arranged.value;
    expect(tune.title).toBe(title);
    expect(kept).toBe(of);
    for (const part of tune.parts)
      for (const plain of part.measures)
        expect(problemsOf(measureOf(tune.meter, plain), tune.neck)).toEqual([]);
  });
});
