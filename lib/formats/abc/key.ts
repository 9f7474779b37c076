import type { Key, Mode } from '../../harmony';
import { MODES, scaleOf } from '../../harmony';
import { pitchClassFromName } from '../../pitch';
import type { Semitones } from '../../units';

/** What a K: field says: the key, its signature, and how far its clef moves all notes. */
export interface AbcKey {
  readonly key: Key;
  /** Semitones by letter: F is 1 in G major. Letters that are not in it stand as they are. */
  readonly signature: ReadonlyMap<string, Semitones>;
  /** From `octave=`, `transpose=` and clefs like treble-8. */
  readonly shift: Semitones;
  /** What could not be kept, in words. */
  readonly remark?: string;
}

const LETTERS = 'CDEFGAB';
const NATURAL: Readonly<Record<string, Semitones>> = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };
const SIGNS: Readonly<Record<string, Semitones>> = { '^': 1, '^^': 2, '=': 0, _: -1, __: -2 };

/** Modes by their first three letters, case ignored. Source: ABC 2.1, section 3.1.14. */
const MODE_NAMES: Readonly<Record<string, Mode>> = {
  '': 'major',
  maj: 'major',
  ion: 'major',
  mix: 'mixolydian',
  dor: 'dorian',
  m: 'minor',
  min: 'minor',
  aeo: 'minor',
  phr: 'phrygian',
  lyd: 'lydian',
  loc: 'locrian',
};

/** The signature of a key: each letter of its scale once, as many semitones from its natural as the scale needs. */
function signatureOf(key: Key): Map<string, Semitones> {
  const start = LETTERS.indexOf(key.tonic[0] ?? '');
  const signs = scaleOf(key).map((pitch, i) => {
    const letter = LETTERS[(start + i) % 7] ?? '';
    const sign = (((pitch - (NATURAL[letter] ?? 0) + 6) % 12) + 12) % 12;
    return [letter, sign - 6] as const;
  });
  return new Map(signs.filter(([, sign]) => sign !== 0));
}

function sameSignature(a: ReadonlyMap<string, number>, b: ReadonlyMap<string, number>): boolean {
  return [...LETTERS].every((letter) => (a.get(letter) ?? 0) === (b.get(letter) ?? 0));
}

/** Semitones that clef and octave words move the notes by. Source: ABC 2.1, section 4.6. */
export function shiftOf(rest: string): Semitones {
  const octave = /\boctave=([+-]?\d)/.exec(rest)?.[1];
  const transpose = /\btranspose=([+-]?\d{1,2})/.exec(rest)?.[1];
  const clef = /\b(?:treble|alto|tenor|bass)\d?([+-]8)/.exec(rest)?.[1];
  const eight = clef === undefined ? 0 : clef === '+8' ? 12 : -12;
  return Number(octave ?? 0) * 12 + Number(transpose ?? 0) + eight;
}

/** `=c ^f _b` after the mode, as letter and semitones. */
function writtenSigns(rest: string): readonly (readonly [string, Semitones])[] {
  return [...rest.matchAll(/(?:^|\s)(\^{1,2}|_{1,2}|=)([A-Ga-g])(?=\s|$)/g)].map(
    (match) => [(match[2] ?? '').toUpperCase(), SIGNS[match[1] ?? ''] ?? 0] as const,
  );
}

function fromTonic(tonic: string, word: string, rest: string): AbcKey | undefined {
  const explicit = word.toLowerCase() === 'exp';
  const mode = explicit ? 'major' : MODE_NAMES[word.slice(0, 3).toLowerCase()];
  if (mode === undefined || pitchClassFromName(tonic) === undefined) return undefined;
  const signature = explicit ? new Map<string, Semitones>() : signatureOf({ tonic, mode });
  const signs = writtenSigns(rest);
  for (const [letter, sign] of signs) signature.set(letter, sign);
  const shift = shiftOf(rest);
  if (!explicit && signs.length === 0) return { key: { tonic, mode }, signature, shift };
  const named = MODES.find((known) =>
    sameSignature(signatureOf({ tonic, mode: known }), signature),
  );
  if (named) return { key: { tonic, mode: named }, signature, shift };
  const remark = 'The key signature is no mode of its tonic; the notes keep their signs';
  return { key: { tonic, mode }, signature, shift, remark };
}

/**
 * A K: field's text as a key, or undefined if it names none. Bagpipe keys are A mixolydian; `none` (or nothing) is C
 * major with a remark.
 * Source: ABC 2.1, section 3.1.14.
 */
export function keyFrom(text: string): AbcKey | undefined {
  const value = text.trim();
  const open = /^(none\b|$|(?=clef=|octave=|treble|bass|alto|tenor|perc|transpose=))(.*)$/i.exec(
    value,
  );
  if (open) {
    const remark = 'No key is named, so C major was taken';
    return {
      key: { tonic: 'C', mode: 'major' },
      signature: new Map(),
      shift: shiftOf(open[2] ?? ''),
      remark,
    };
  }
  const pipes = /^H([Pp])\b/.exec(value)?.[1];
  if (pipes) {
    const key: Key = { tonic: 'A', mode: 'mixolydian' };
    return { key, signature: pipes === 'p' ? signatureOf(key) : new Map(), shift: 0 };
  }
  const match =
    /^([A-G][#b]?)\s*((?!clef|octave|transpose|treble|bass|alto|tenor|middle|staff)[A-Za-z]*)(.*)$/.exec(
      value,
    );
  return match ? fromTonic(match[1] ?? '', match[2] ?? '', match[3] ?? '') : undefined;
}
