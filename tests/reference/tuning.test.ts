import { describe, expect, test } from 'vitest';
import type { Tuning, TuningId } from '../../lib/tuning';
import {
  hasFret,
  midiAt,
  neckOf,
  openMidi,
  placesOf,
  TUNINGS,
  tuningById,
  writtenTuning,
} from '../../lib/tuning';
import { STRINGS } from '../../lib/units';

function tuning(id: TuningId): Tuning {
  const found = tuningById(id);
  if (!found) throw new RangeError(id);
  return found;
}

// Published tunings of the five-string, MIDI of strings 5 4 3 2 1 (teaching pages; double D and aEAC#E as double C and open G
// with a capo at 2; the lower-case letter is the fifth string). Octaves follow from "strings 4, 3, 2 as on a guitar".
const PUBLISHED: readonly (readonly [TuningId, number, string, readonly number[]])[] = [
  ['gDGBD', 0, 'gDGBD', [67, 50, 55, 59, 62]],
  ['gCGBD', 0, 'gCGBD', [67, 48, 55, 59, 62]],
  ['gCGCD', 0, 'gCGCD', [67, 48, 55, 60, 62]],
  ['gDGCD', 0, 'gDGCD', [67, 50, 55, 60, 62]],
  ['aDADE', 0, 'aDADE', [69, 50, 57, 62, 64]],
  ['gCGCD', 2, 'aDADE', [69, 50, 57, 62, 64]],
  ['gDGBD', 2, 'aEAC#E', [69, 52, 57, 61, 64]],
  ['gDGCD', 2, 'aEADE', [69, 52, 57, 62, 64]],
  ['f#DF#AD', 0, 'f#DF#AD', [66, 50, 54, 57, 62]],
];

describe('tunings against published MIDI numbers', () => {
  test.each(PUBLISHED)('%s with a capo at %i is %s', (id, capo, written, midi) => {
    const neck = neckOf(tuning(id), capo);
    expect(([5, 4, 3, 2, 1] as const).map((string) => openMidi(neck, string))).toEqual(midi);
    expect(writtenTuning(neck)).toBe(written);
  });

  test('all six tunings of the trade are checked here', () => {
    const checked = new Set(PUBLISHED.map(([id]) => id));
    expect(TUNINGS.map(({ id }) => id).filter((id) => !checked.has(id))).toEqual([]);
  });
});

describe('unisons across strings', () => {
  // Common practice, no source: in gDGBD string 3 fret 4 is string 2 open, 4 fret 5 is 3 open, 2 fret 3 is 1 open.
  test.each([
    [3, 4, 2],
    [4, 5, 3],
    [2, 3, 1],
  ] as const)('in gDGBD string %i fret %i sounds string %i open', (string, fret, open) => {
    const neck = neckOf(tuning('gDGBD'));
    expect(midiAt(neck, string, fret)).toBe(openMidi(neck, open));
  });

  test('in every tuning and under every capo the unison lies at the difference of the open strings', () => {
    for (const each of TUNINGS)
      for (const capo of [0, 2, 4]) {
        const neck = neckOf(each, capo);
        for (const string of [2, 3, 4] as const) {
          const above = (string - 1) as 1 | 2 | 3;
          const fret = openMidi(neck, above) - openMidi(neck, string);
          expect(midiAt(neck, string, fret)).toBe(openMidi(neck, above));
        }
      }
  });

  // Two teaching pages: the drone begins at the fifth fret and is tuned like string 1 stopped there (G4 against D4).
  test('the open drone is string 1 at fret 5 in gDGBD', () => {
    const neck = neckOf(tuning('gDGBD'));
    expect(midiAt(neck, 1, 5)).toBe(openMidi(neck, 5));
  });
});

describe('the drone counts its frets by the neck', () => {
  const neck = neckOf(tuning('gDGBD'));

  // A maker's help page: with a capo at 2 the drone goes under a spike at fret 7, at 4 under fret 9, counted from the nut.
  test.each([
    [7, 69],
    [9, 71],
  ])('neck fret %i sounds MIDI %i', (fret, midi) => expect(midiAt(neck, 5, fret)).toBe(midi));

  test.each([1, 2, 3, 4, 5])('it has no fret %i', (fret) => {
    expect(hasFret(neck, 5, fret)).toBe(false);
    expect(() => midiAt(neck, 5, fret)).toThrow(RangeError);
  });

  test('under a capo its frets still sound what the same place on the neck sounds', () => {
    const capoed = neckOf(tuning('gDGBD'), 2);
    // Neck fret 10 is fret 8 from the capo: G4 + 5.
    expect(midiAt(capoed, 5, 8)).toBe(72);
    expect(hasFret(capoed, 5, 5)).toBe(false); // neck fret 7 is where the spike holds it
  });
});

describe('places of a pitch', () => {
  test('every place sounds the pitch, and none is missing', () => {
    for (const each of TUNINGS)
      for (const capo of [0, 2]) {
        const neck = neckOf(each, capo);
        for (let midi = 45; midi <= 90; midi += 1) {
          const places = placesOf(neck, midi);
          for (const { string, fret } of places) expect(midiAt(neck, string, fret)).toBe(midi);
          const all = STRINGS.flatMap((string) =>
            Array.from({ length: 25 }, (_, fret) => ({ string, fret })).filter(
              (place) =>
                hasFret(neck, string, place.fret) && midiAt(neck, string, place.fret) === midi,
            ),
          );
          expect(places.length).toBe(all.length);
        }
      }
  });
});
