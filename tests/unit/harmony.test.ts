import { describe, expect, test } from 'vitest';
import type { Key } from '../../lib/harmony';
import { inferChord, parseChord, scaleOf, toneClass } from '../../lib/harmony';

const G: Key = { tonic: 'G', mode: 'major' };

describe('a chord symbol', () => {
  test.each([
    ['G', [7, 11, 2]],
    [' D7 ', [2, 6, 9, 0]],
    ['Am', [9, 0, 4]],
    ['F♯m', [6, 9, 1]],
    ['B♭', [10, 2, 5]],
    ['C/G', [0, 4, 7]],
    ['C/B', [0, 4, 7, 11]],
  ])('"%s" has the pitch classes %j', (symbol, tones) => {
    const parsed = parseChord(symbol);
    expect(parsed.ok && parsed.value.tones).toEqual(tones);
  });

  test.each([
    ['', 'no-root: "" names no chord. Begin with a letter from A to G, as in G, D7 or Am.'],
    ['H', 'no-root: "H" names no chord. Begin with a letter from A to G, as in G, D7 or Am.'],
    ['N.C.', 'no-root: "N.C." names no chord. Begin with a letter from A to G, as in G, D7 or Am.'],
    ['Gx', 'unknown-kind: "Gx": "x" is no kind of chord that we know. Try G, Gm or G7.'],
    [
      'Gconstructor',
      'unknown-kind: "Gconstructor": "constructor" is no kind of chord that we know. Try G, Gm or G7.',
    ],
    ['C/H', 'no-root: "C/H" names no chord. Begin with a letter from A to G, as in G, D7 or Am.'],
  ])('"%s" is refused with words', (symbol, words) => {
    const parsed = parseChord(symbol);
    expect(parsed.ok ? [] : parsed.problems.map((p) => `${p.code}: ${p.words}`)).toEqual([words]);
  });
});

describe('a note in the harmony of G major over D7', () => {
  const d7 = parseChord('D7');
  const chord = d7.ok ? d7.value : undefined;
  test.each([
    ['F#', 66, undefined, 'chord'],
    ['the chord seventh C', 60, undefined, 'chord'],
    ['B, which is in the scale', 59, undefined, 'scale'],
    ['Bb that moves up to B', 58, 59, 'passing'],
    ['Bb that leaps', 58, 66, 'outside'],
    ['Bb at the end', 58, undefined, 'outside'],
    ['Bb to G#, which is outside too', 58, 56, 'outside'],
  ] as const)('%s', (_, midi, next, expected) => {
    expect(toneClass(midi, scaleOf(G), chord, next)).toBe(expected);
  });
});

describe('a chord that nobody wrote', () => {
  const notes = (...midis: readonly number[]) => midis.map((midi) => ({ midi, length: 480 }));
  test.each([
    ['of G and B is G', notes(55, 59), 'G'],
    ['of C and E is C', notes(60, 64), 'C'],
    ['of A, D and F# is D', notes(57, 62, 66), 'D'],
    ['of E and G, between C and Em, is the likelier C', notes(64, 67), 'C'],
    ['of nothing is the tonic', [], 'G'],
    [
      'goes by how long notes last',
      [
        { midi: 60, length: 960 },
        { midi: 59, length: 240 },
        { midi: 62, length: 240 },
      ],
      'C',
    ],
  ])('%s', (_, given, symbol) => {
    expect(inferChord(given, G)).toMatchObject({ inferred: true, chord: { symbol } });
  });

  test('in A dorian may be the G below', () => {
    expect(inferChord(notes(55, 59, 62), { tonic: 'A', mode: 'dorian' }).chord.symbol).toBe('G');
  });
});
