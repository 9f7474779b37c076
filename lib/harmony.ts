import { pitchClassFromName } from './pitch';

/** The modes of old-time tunes. */
export type Mode = 'major' | 'mixolydian' | 'dorian' | 'minor' | 'phrygian' | 'lydian' | 'locrian';

/** A key as written: its tonic's name ("F#") and its mode. */
export interface Key {
  readonly tonic: string;
  readonly mode: Mode;
}

/**
 * Scale steps in semitones above the tonic.
 * Source: the church modes as named in ABC 2.1, section 4.6 (checked against its table of signatures).
 */
const STEPS: Readonly<Record<Mode, readonly number[]>> = {
  major: [0, 2, 4, 5, 7, 9, 11],
  mixolydian: [0, 2, 4, 5, 7, 9, 10],
  dorian: [0, 2, 3, 5, 7, 9, 10],
  minor: [0, 2, 3, 5, 7, 8, 10],
  phrygian: [0, 1, 3, 5, 7, 8, 10],
  lydian: [0, 2, 4, 6, 7, 9, 11],
  locrian: [0, 1, 3, 5, 6, 8, 10],
};

export const MODES = Object.keys(STEPS) as readonly Mode[];

/** Pitch classes of the key's scale, tonic first. */
export function scaleOf(key: Key): readonly number[] {
  const tonic = pitchClassFromName(key.tonic);
  if (tonic === undefined) throw new RangeError(`no such tonic: ${key.tonic}`);
  return STEPS[key.mode].map((step) => (tonic + step) % 12);
}
