import { pitchName } from './pitch';
import type { Fret, Midi, Semitones, StringNumber } from './units';
import { STRINGS } from './units';

export type TuningId = 'gDGBD' | 'gCGCD' | 'aDADE' | 'gDGCD' | 'gCGBD' | 'f#DF#AD';

/** A tuning without capo. `open[0]` is string 1, `open[4]` the drone, as MIDI numbers. */
export interface Tuning {
  readonly id: TuningId;
  /** What players call it. */
  readonly name: string;
  readonly open: readonly [Midi, Midi, Midi, Midi, Midi];
}

/**
 * A banjo set up to play: strings 1 to 4 are raised by a capo, the drone on its own (a spike).
 * `drone` is usually equal to `capo`.
 */
export interface Neck {
  readonly tuning: Tuning;
  readonly capo: Fret;
  readonly drone: Semitones;
}

/**
 * The tunings of the trade, named from string 5 to string 1.
 * Source: references in tests/reference/tuning.test.ts (published for all but open D's octave, which follows its name).
 */
export const TUNINGS: readonly Tuning[] = [
  { id: 'gDGBD', name: 'open G', open: [62, 59, 55, 50, 67] },
  { id: 'gCGCD', name: 'double C', open: [62, 60, 55, 48, 67] },
  { id: 'aDADE', name: 'double D', open: [64, 62, 57, 50, 69] },
  { id: 'gDGCD', name: 'sawmill (G modal)', open: [62, 60, 55, 50, 67] },
  { id: 'gCGBD', name: 'drop C', open: [62, 59, 55, 48, 67] },
  { id: 'f#DF#AD', name: 'open D', open: [62, 57, 54, 50, 66] },
];

/** Frets on the neck of the usual five-string. Source: references, "usual 5-string: 22 frets". */
const NECK_FRETS = 22;
/** The drone starts at this neck fret. Source: two teaching pages, see tests/reference/tuning.test.ts */
const DRONE_FRET = 5;
/** The highest capo we offer; above it the drone's spikes end. Common practice, no source. */
export const MAX_CAPO = 7;

export function tuningById(id: string): Tuning | undefined {
  return TUNINGS.find((tuning) => tuning.id === id);
}

/** A neck in this tuning; the drone is raised with the capo unless told otherwise. */
export function neckOf(tuning: Tuning, capo: Fret = 0, drone: Semitones = Number(capo)): Neck {
  if (!Number.isInteger(capo) || capo < 0 || capo > MAX_CAPO)
    throw new RangeError(`capo ${capo} is not a whole fret from 0 to ${MAX_CAPO}`);
  return { tuning, capo, drone };
}

/** What the string sounds when no finger is on it, capo and spike counted in. */
export function openMidi(neck: Neck, string: StringNumber): Midi {
  return (neck.tuning.open[string - 1] ?? 0) + (string === 5 ? neck.drone : neck.capo);
}

/** Can this fret be stopped on this string? Open always can; the drone's first fret lies above its own nut. */
export function hasFret(neck: Neck, string: StringNumber, fret: number): boolean {
  if (!Number.isInteger(fret) || fret < 0 || fret + neck.capo > NECK_FRETS) return false;
  if (fret === 0) return true;
  return string !== 5 || fret + neck.capo - DRONE_FRET > neck.drone;
}

/**
 * Sounding pitch at a string and fret. Frets count from the capo; the drone's are numbered by the neck, so
 * that neck fret n sounds n - 5 semitones above its open string.
 * @throws RangeError where the neck has no such fret (user input is parsed before)
 */
export function midiAt(neck: Neck, string: StringNumber, fret: Fret): Midi {
  if (!hasFret(neck, string, fret)) throw new RangeError(`string ${string} has no fret ${fret}`);
  if (fret === 0) return openMidi(neck, string);
  if (string !== 5) return openMidi(neck, string) + fret;
  return (neck.tuning.open[4] ?? 0) + fret + neck.capo - DRONE_FRET;
}

/** All places on the neck that sound this pitch, lowest fret first, up to `maxFret`. */
export function placesOf(
  neck: Neck,
  midi: Midi,
  maxFret: Fret = NECK_FRETS - neck.capo,
): readonly { readonly string: StringNumber; readonly fret: Fret }[] {
  return STRINGS.flatMap((string) => {
    const above = midi - openMidi(neck, string);
    const fret =
      above === 0 ? 0 : string === 5 ? above + neck.drone - neck.capo + DRONE_FRET : above;
    return above >= 0 && fret <= maxFret && hasFret(neck, string, fret) ? [{ string, fret }] : [];
  }).sort((a, b) => a.fret - b.fret || a.string - b.string);
}

/** The strings from 5 to 1 as players write them, with the capo counted in: "aEAC#E" for open G at 2. */
export function writtenTuning(neck: Neck): string {
  const letters = ([5, 4, 3, 2, 1] as const).map((s) => pitchName(openMidi(neck, s)).slice(0, -1));
  return letters.map((name, i) => (i === 0 ? name.toLowerCase() : name)).join('');
}
