import type { Key } from '../harmony';
import { scaleOf } from '../harmony';
import type { Melody } from '../melody';
import { pitchClass, pitchClassFromName } from '../pitch';
import type { Neck, TuningId } from '../tuning';
import { neckOf, openMidi, TUNINGS } from '../tuning';
import type { Semitones } from '../units';
import { STRINGS } from '../units';
import type { Moment } from './moments';
import type { Path } from './path';
import { cheapestPath, lowness, placesOn } from './path';

/** A melody on a neck, with what it costs. */
export interface Setting {
  readonly neck: Neck;
  readonly transpose: Semitones;
  readonly path: Path;
  /** Mean price of a note, plus how badly the open strings suit the key and how unusual the neck is for it. */
  readonly effort: number;
}

/** Octaves that a melody may be moved by without leaving its key, the nearest first. */
export const OCTAVES: readonly Semitones[] = [0, -12, 12, -24, 24];

/**
 * Tunings that players take for a key, by its pitch class and whether it has a major third.
 * Source: common practice, no source.
 */
const CUSTOM: Readonly<Record<string, readonly (readonly [TuningId, number])[]>> = {
  '7 major': [['gDGBD', 0]],
  '7 minor': [['gDGCD', 0]],
  '0 major': [
    ['gCGCD', 0],
    ['gCGBD', 0],
  ],
  '2 major': [
    ['aDADE', 0],
    ['gCGCD', 2],
  ],
  '9 major': [['gDGBD', 2]],
  '9 minor': [['gDGCD', 2]],
  '4 minor': [['gDGBD', 0]],
};

/** How badly a neck's open strings suit a key: the drone most, which sounds all the time. Common practice, no source. */
function misfit(neck: Neck, key: Key): number {
  const scale = scaleOf(key);
  const [tonic = 0] = scale;
  const fifth = (tonic + 7) % 12;
  const drone = pitchClass(openMidi(neck, 5));
  const droneMisfit = drone === tonic || drone === fifth ? 0 : scale.includes(drone) ? 0.8 : 2;
  const others = STRINGS.filter((string) => string !== 5).map((string) =>
    pitchClass(openMidi(neck, string)),
  );
  return droneMisfit + others.filter((pitch) => !scale.includes(pitch)).length * 0.4;
}

function customary(neck: Neck, key: Key): boolean {
  const tonic = pitchClassFromName(key.tonic) ?? 0;
  const third = (scaleOf(key)[2] ?? 0) - tonic;
  const kind = (third + 12) % 12 === 4 ? 'major' : 'minor';
  const known = CUSTOM[`${tonic} ${kind}`] ?? [];
  return known.some(([id, capo]) => id === neck.tuning.id && capo === neck.capo);
}

/**
 * What a neck that is not customary for a key adds to the mean price of a note: two low fretted notes of three. Players take one only where
 * the tune lies much easier on it. Source: common practice, no source; checked on the shelf in tests/reference/shelf-tunings.test.ts.
 */
const UNUSUAL = 0.7;

export function transposedKey(key: Key, transpose: Semitones): Key {
  const names = ['C', 'C#', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'];
  const tonic = pitchClass((pitchClassFromName(key.tonic) ?? 0) + transpose);
  return transpose % 12 === 0 ? key : { tonic: names[tonic] ?? key.tonic, mode: key.mode };
}

/** Notes that this neck does not have at this transposition. */
export function missingFrom(
  neck: Neck,
  moments: readonly Moment[],
  transpose: Semitones,
): readonly Moment[] {
  const places = placesOn(neck);
  return moments.filter(({ midi }) => places(midi + transpose).length === 0);
}

/** A neck and a transposition that has all notes, with a quick guess at its effort. */
export interface Guess {
  readonly neck: Neck;
  readonly transpose: Semitones;
  readonly guess: number;
}

function suits(melody: Melody, neck: Neck, transpose: Semitones): number {
  const key = transposedKey(melody.key, transpose);
  return misfit(neck, key) + (customary(neck, key) ? 0 : UNUSUAL);
}

/** The likeliest of these transpositions at which the neck has all notes, or undefined if it never does. */
export function bestGuess(
  melody: Melody,
  moments: readonly Moment[],
  neck: Neck,
  transposes: readonly Semitones[],
): Guess | undefined {
  const places = placesOn(neck);
  return transposes
    .flatMap((transpose) => {
      const low = lowness(moments, places, transpose);
      return low === undefined
        ? []
        : [{ neck, transpose, guess: low + suits(melody, neck, transpose) }];
    })
    .sort((a, b) => a.guess - b.guess)[0];
}

/** The melody set on the neck of a guess, with its true effort. */
export function settingAt(
  melody: Melody,
  moments: readonly Moment[],
  { neck, transpose }: Pick<Guess, 'neck' | 'transpose'>,
): Setting {
  const path = cheapestPath(moments, placesOn(neck), transpose, melody.meter);
  const effort = path.cost / Math.max(1, moments.length) + suits(melody, neck, transpose);
  return { neck, transpose, path, effort };
}

/** Necks that are tried when nobody asks for one: each tuning open and with a capo at 2. */
export function usualNecks(): readonly Neck[] {
  return [0, 2].flatMap((capo) => TUNINGS.map((tuning) => neckOf(tuning, capo)));
}
