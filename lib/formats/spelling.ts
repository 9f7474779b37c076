import type { Key, Mode } from '../harmony';
import { pitchClass } from '../pitch';
import type { Midi, Semitones } from '../units';

/** A pitch as it stands on a staff: `alter` semitones from the natural letter; octave 4 begins at middle C. */
export interface Spelled {
  readonly letter: string;
  readonly alter: Semitones;
  readonly octave: number;
}

/** Letters in the order of fifths from F. */
const FIFTHS: readonly string[] = ['F', 'C', 'G', 'D', 'A', 'E', 'B'];
const NATURAL: Readonly<Record<string, Semitones>> = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };

/**
 * How many fifths the signature of a mode lies above that of the major key on the same tonic.
 * Source: ABC 2.1, section 3.1.14, table of signatures (G major one sharp, G mixolydian none, G dorian one flat, ...).
 */
const MODE_FIFTHS: Readonly<Record<Mode, number>> = {
  major: 0,
  mixolydian: -1,
  dorian: -2,
  minor: -3,
  phrygian: -4,
  lydian: 1,
  locrian: -5,
};
/** Most sharps or flats that a signature shows. */
const MAX_FIFTHS = 7;

/** A note's place in the row of fifths, C being 0. @throws RangeError for a name that is no note */
function fifthsOfName(name: string): number {
  const letter = FIFTHS.findIndex((one) => name.startsWith(one));
  const signs = name.slice(1);
  if (letter < 0 || !/^(#*|b*)$/.test(signs)) throw new RangeError(`no note is called ${name}`);
  return letter - 1 + 7 * (signs.startsWith('#') ? signs.length : -signs.length);
}

function nameOfFifths(fifths: number): { readonly letter: string; readonly alter: Semitones } {
  const place = fifths + 1;
  return { letter: FIFTHS[((place % 7) + 7) % 7] ?? 'C', alter: Math.floor(place / 7) };
}

/** The name as "F#" or "Bb". */
function noteName({ letter, alter }: Pick<Spelled, 'letter' | 'alter'>): string {
  return letter + (alter > 0 ? '#' : 'b').repeat(Math.abs(alter));
}

/**
 * Sharps (flats negative) of a key's signature, from -7 to 7: a key that needs more is written as the one that sounds the same.
 */
export function signatureOf({ tonic, mode }: Key): number {
  const fifths = fifthsOfName(tonic) + MODE_FIFTHS[mode];
  if (Math.abs(fifths) <= MAX_FIFTHS) return fifths;
  return fifths - 12 * Math.sign(fifths) * Math.ceil((Math.abs(fifths) - MAX_FIFTHS) / 12);
}

/** The key that has this signature in this mode. */
export function keyFromSignature(fifths: number, mode: Mode): Key {
  return { tonic: noteName(nameOfFifths(fifths - MODE_FIFTHS[mode])), mode };
}

/**
 * A pitch as a key spells it: notes of the scale by the signature, others as the sharps and flats that lie nearest to it (in C: Bb, Eb,
 * F#, C#, G#).
 * @param fifths the signature, from `signatureOf`
 */
export function spelled(midi: Midi, fifths: number): Spelled {
  const lowest = fifths - 3;
  const wanted = (pitchClass(midi) * 7) % 12;
  const { letter, alter } = nameOfFifths(lowest + ((((wanted - lowest) % 12) + 12) % 12));
  const octave = Math.floor((midi - alter - (NATURAL[letter] ?? 0)) / 12) - 1;
  return { letter, alter, octave };
}

/** Semitones that a signature gives a letter: F is 1 where there is a sharp. */
export function signatureAlter(letter: string, fifths: number): Semitones {
  const place = FIFTHS.indexOf(letter);
  return Math.floor((fifths + 6 - place) / 7);
}

/** What a written pitch sounds. */
export function midiFromSpelled({ letter, alter, octave }: Spelled): Midi {
  return 12 * (octave + 1) + (NATURAL[letter] ?? 0) + alter;
}
