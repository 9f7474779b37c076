import type { Hz, Midi } from './units';

const SHARPS = ['C', 'C#', 'D', 'D#', 'E', 'F', 'F#', 'G', 'G#', 'A', 'A#', 'B'] as const;
const FLATS = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'Gb', 'G', 'Ab', 'A', 'Bb', 'B'] as const;
const LETTERS: Readonly<Record<string, number>> = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };

/**
 * Frequency of a MIDI note in 12-tone equal temperament.
 * Source: f = 440 * 2^((m - 69) / 12), A4 = 440 Hz (ISO 16:1975); checked in tests/reference/pitch.test.ts
 */
export function hzFromMidi(midi: Midi): Hz {
  return 440 * 2 ** ((midi - 69) / 12);
}

/** Pitch class, 0 is C and 11 is B. */
export function pitchClass(midi: Midi): number {
  return ((midi % 12) + 12) % 12;
}

/** Scientific name, as "F#4"; middle C is C4 = 60. With `flats`, "Gb4". */
export function pitchName(midi: Midi, flats = false): string {
  const name = (flats ? FLATS : SHARPS)[pitchClass(midi)];
  return `${name}${Math.floor(midi / 12) - 1}`;
}

/** The pitch class that a letter with accidentals names ("F#", "Bb"), or undefined if it names none. */
export function pitchClassFromName(name: string): number | undefined {
  const match = /^([A-G])(#{0,2}|b{0,2})$/.exec(name);
  const letter = match ? LETTERS[match[1] ?? ''] : undefined;
  if (!match || letter === undefined) return undefined;
  const signs = match[2] ?? '';
  const shift = signs.startsWith('#') ? signs.length : -signs.length;
  return pitchClass(letter + shift);
}
