import { Chord as Reference } from 'tonal';
import { describe, expect, test } from 'vitest';
import type { Key } from '../../lib/harmony';
import { inferChord, MODES, parseChord } from '../../lib/harmony';
import { pitchClass, pitchClassFromName } from '../../lib/pitch';

const ROOTS = ['C', 'C#', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'Gb', 'G', 'Ab', 'A', 'Bb', 'B'];
const KINDS = [
  '',
  'm',
  '5',
  '6',
  '7',
  '9',
  '11',
  '13',
  'm6',
  'm7',
  'maj7',
  'add9',
  'sus2',
  'sus4',
  '7sus4',
  'dim',
  'dim7',
  'm7b5',
  'aug',
  'M7',
  'min6',
  'min7',
  'Δ',
  'ø',
  '°',
  '+',
];
const NAMED: Readonly<Record<string, string>> = {
  add9: 'Madd9',
  '9': '9',
  '°': 'dim',
  '+': 'aug',
  min6: 'm6',
  min7: 'm7',
  Δ: 'maj7',
  ø: 'm7b5',
};

// Source: tonal 6.4.3, an independent library of chords.
describe.each(KINDS)('a chord of kind "%s"', (kind) => {
  test.each(ROOTS)('on %s has the tones that the reference library gives it', (root) => {
    const reference = Reference.get(`${root}${NAMED[kind] ?? kind}`);
    expect(reference.empty).toBe(false);
    const expected = reference.notes.map((name) => pitchClassFromName(name) ?? name);
    const parsed = parseChord(`${root}${kind}`);
    expect(parsed.ok && [...parsed.value.tones].sort((a, b) => a - b)).toEqual(
      [...expected].sort((a, b) => Number(a) - Number(b)),
    );
    expect(parsed.ok && parsed.value.root).toBe(pitchClassFromName(root));
  });
});

// Source: the triads on the steps of a major scale (any book on harmony; here tonal's names for the same tones).
describe.each(MODES)('a chord that is inferred in %s', (mode) => {
  test.each(['G', 'D', 'A', 'C', 'F', 'Bb', 'E'])(
    'on %s is called as the reference library calls its tones',
    (tonic) => {
      const key: Key = { tonic, mode };
      for (let root = 55; root < 67; root++)
        for (const third of [3, 4]) {
          const notes = [root, root + third, root + 7].map((midi) => ({ midi, length: 1 }));
          const { chord, share } = inferChord(notes, key);
          if (share < 1) continue;
          const reference = Reference.get(chord.symbol);
          expect(reference.notes.map((name) => pitchClassFromName(name))).toEqual(
            notes.map(({ midi }) => pitchClass(midi)),
          );
        }
    },
  );
});
