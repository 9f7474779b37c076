import { describe, expect, test } from 'vitest';
import { arrange } from '../../lib/arrange/arrange';
import { readAbc } from '../../lib/formats/abc/read';
import type { Melody, MelodyMeasure } from '../../lib/melody';
import { SHELF } from '../../lib/shelf';

/**
 * The tunings that players take for a key, as tuning and capo: open G for G and with a capo at 2 for A, double C or drop C for C, and for D
 * the same two a whole tone higher (double D is double C with a capo at 2) or open D. Source: names and capos of tunings by the trade's
 * table of tunings; which key is played in which, common practice, no source.
 */
const CUSTOMARY: Readonly<Record<string, readonly string[]>> = {
  G: ['gDGBD 0'],
  A: ['gDGBD 2'],
  C: ['gCGCD 0', 'gCGBD 0'],
  D: ['aDADE 0', 'gCGCD 2', 'gCGBD 2', 'f#DF#AD 0'],
};

/** The key in which each tune of the shelf stands. */
const KEYS: Readonly<Record<string, keyof typeof CUSTOMARY>> = {
  cabbage: 'G',
  lou: 'G',
  susanna: 'G',
  doodle: 'C',
  weasel: 'G',
  rhody: 'G',
  mountain: 'C',
  bells: 'G',
  clementine: 'G',
  syne: 'G',
  bridge: 'G',
  farmer: 'G',
  boat: 'G',
};

function melodyOf(abc: string): Melody {
  const read = readAbc(abc);
  if (!read.ok) throw new Error(read.problems.map(({ words }) => words).join(' '));
  return read.value.melody;
}

/** Semitones above G. */
const ABOVE_G: Readonly<Record<string, number>> = { G: 0, A: 2, C: 5, D: 7 };

/** A tune in another key. */
function inKey(melody: Melody, tonic: string): Melody {
  const up = (ABOVE_G[tonic] ?? 0) - (ABOVE_G[melody.key.tonic] ?? 0);
  const moved = (measure: MelodyMeasure): MelodyMeasure => ({
    ...measure,
    notes: measure.notes.map((note) => ({ ...note, midi: note.midi + up })),
  });
  const parts = melody.parts.map(({ letter, measures }) => ({
    letter,
    measures: measures.map(moved),
  }));
  return { ...melody, key: { tonic, mode: 'major' }, parts };
}

/** The neck that is taken when nobody asks for one: "gDGBD 0". */
function neckFor(melody: Melody): string {
  const arranged = arrange(melody);
  if (!arranged.ok) throw new Error(arranged.problems[0]?.words);
  const { tuning, capo } = arranged.value.tune.neck;
  return `${tuning.id} ${capo}`;
}

test('the table names every tune of the shelf', () => {
  expect(Object.keys(KEYS).sort()).toEqual(SHELF.map(({ id }) => id).sort());
});

test.each(SHELF.map((tune) => [tune.title, tune] as const))(
  '%s is set in a tuning that players take for its key',
  (_, { id, abc }) => {
    const melody = melodyOf(abc);
    expect(`${melody.key.tonic} ${melody.key.mode}`).toBe(`${KEYS[id]} major`);
    expect(CUSTOMARY[melody.key.tonic]).toContain(neckFor(melody));
  },
);

describe.each(Object.keys(CUSTOMARY))('in %s', (tonic) => {
  /** Three quick notes on one pitch: low on the tunings of these keys two of its notes cannot be played, so another tuning is the better choice. */
  const lossy = ['C', 'D'].includes(tonic) ? ['boat'] : [];

  test.each(SHELF.filter(({ id }) => !lossy.includes(id)).map(({ title, abc }) => [title, abc]))(
    '%s is set in a tuning that players take for that key',
    (_, abc) => {
      expect(CUSTOMARY[tonic]).toContain(neckFor(inKey(melodyOf(abc), tonic)));
    },
  );
});
