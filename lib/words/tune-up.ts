import { pitchName } from '../pitch';
import type { Neck, Tuning } from '../tuning';
import { MAX_CAPO, neckOf, TUNINGS, tuningById, writtenTuning } from '../tuning';
import type { Semitones, StringNumber } from '../units';

/** How a player gets the banjo into a tuning. */
export interface TuneUp {
  /** From string 5 to string 1 what each is tuned to before a capo goes on, as "G4". */
  readonly strings: readonly { readonly string: StringNumber; readonly pitch: string }[];
  /** What to turn from open G, the tuning that most banjos are in; empty in open G itself. */
  readonly turns: readonly string[];
  /** By which fret of its neighbour each string can be checked. */
  readonly checks: string;
  /** The capo and the drone, where they are used. */
  readonly capo?: string;
  /** A slacker way to the same sound, where there is one. */
  readonly easier?: string;
}

/** From the lowest line of the tab to the highest. */
const ORDER: readonly StringNumber[] = [5, 4, 3, 2, 1];
/** Source: references/check-values, section 1: "gDGBD open G, the standard". */
const STANDARD = tuningById('gDGBD');

function openOf({ open }: Tuning, string: StringNumber): number {
  return open[string - 1] ?? 0;
}

function stepWords(semitones: Semitones): string {
  const size = Math.abs(semitones);
  if (size === 1) return 'a half step';
  if (size === 2) return 'a whole step';
  return `${size} half steps`;
}

/** A pitch as players say it, without its octave. */
function letter(midi: number): string {
  return pitchName(midi).slice(0, -1);
}

function turnsTo(tuning: Tuning): readonly string[] {
  return ORDER.flatMap((string) => {
    const from = STANDARD ? openOf(STANDARD, string) : openOf(tuning, string);
    const to = openOf(tuning, string);
    if (from === to) return [];
    const way = to > from ? 'up' : 'down';
    return [`string ${string} ${way} ${stepWords(to - from)}, ${letter(from)} to ${letter(to)}`];
  });
}

/** String s open sounds as string s + 1 at a fret; the drone as string 1. Source: the trade, a unison on the next lower string. */
function checksOf(tuning: Tuning): string {
  const pairs: readonly (readonly [StringNumber, StringNumber])[] = [
    [3, 4],
    [2, 3],
    [1, 2],
    [5, 1],
  ];
  const parts = pairs.map(([string, by]) => {
    const fret = openOf(tuning, string) - openOf(tuning, by);
    return `string ${string} sounds like string ${by} at fret ${fret}`;
  });
  return `${parts.slice(0, -1).join(', ')}, and ${parts.at(-1)}`;
}

function capoWords(neck: Neck): string | undefined {
  const { capo, drone } = neck;
  if (capo === 0 && drone === 0) return undefined;
  const clamp = capo === 0 ? '' : `put a capo at fret ${capo}`;
  // The drone's frets are numbered by the neck, and its own nut is at fret 5.
  const spike =
    drone === 0
      ? 'leave string 5 as it is'
      : `raise string 5 by ${stepWords(drone)} (hooked under a spike at fret ${5 + drone}, or tuned up)`;
  const both = clamp === '' ? spike : `${clamp} and ${spike}`;
  return `Then ${both}, so that it sounds ${writtenTuning(neck)}.`;
}

/** Another tuning that with a capo, or a higher one, sounds the same, its strings being slacker. */
function easierWords({ tuning, capo, drone }: Neck): string | undefined {
  if (drone !== Number(capo)) return undefined;
  for (const other of TUNINGS) {
    const up = openOf(tuning, 1) - openOf(other, 1);
    const same = ORDER.every((s) => openOf(tuning, s) - openOf(other, s) === up);
    if (up > 0 && same && capo + up <= MAX_CAPO)
      return `Or, with less pull on the strings: tune to ${other.name} (${writtenTuning(neckOf(other))}), put a capo at fret ${capo + up} and raise string 5 by ${stepWords(capo + up)}; the tab stays as it is.`;
  }
  return undefined;
}

/** How to get the banjo into the tuning of a neck, from open G, with checks by ear. */
export function tuneUp(neck: Neck): TuneUp {
  const { tuning } = neck;
  const [capo, easier] = [capoWords(neck), easierWords(neck)];
  return {
    strings: ORDER.map((string) => ({ string, pitch: pitchName(openOf(tuning, string)) })),
    turns: turnsTo(tuning),
    checks: checksOf(tuning),
    ...(capo === undefined ? {} : { capo }),
    ...(easier === undefined ? {} : { easier }),
  };
}
