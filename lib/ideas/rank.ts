import type { FamilyId } from '../embellish/family';
import type { Chord } from '../harmony';
import { toneClass } from '../harmony';
import { melodyKept } from '../likeness';
import type { MelodyPoint } from '../melody-marks';
import { isDrone, soundOf, topNote } from '../melody-marks';
import type { Measure } from '../tab/measure';
import type { Neck } from '../tuning';
import type { Ticks } from '../units';
import type { Patch } from './patch';
import { patched } from './patch';

/**
 * How much a family is worth when nothing else decides.
 * Source: the order in which workshops teach and use them; common practice, no source.
 */
const TASTE: Readonly<Record<FamilyId, number>> = {
  'hammer-on': 0.5,
  'pull-off': 0.45,
  slide: 0.5,
  'double-thumb': 0.3,
  'drop-thumb': 0.4,
  'added-brush': 0.3,
  skip: 0.1,
  'hammer-from-nowhere': 0.1,
  'alternate-pull-off': 0.15,
  triplet: 0.1,
  'stopped-hand': 0.1,
};
/** Worth of an added note by how it sits in the harmony. Source: our estimate. */
const TONE = { chord: 0.3, scale: 0.15, passing: 0, outside: -0.8 } as const;
/** Price of a place in a family's list of offers, and of a melody note that is lost. Source: our estimates. */
const PER_RANK = 0.12;
const PER_LOST = 1.2;

/** What is known about the plain measure when patches are ranked. */
export interface RankContext {
  readonly neck: Neck;
  /** The key's pitch classes. */
  readonly scale: readonly number[];
  /** The chord that holds at a moment of the measure. */
  readonly chordAt: (at: Ticks) => Chord;
  readonly melody: readonly MelodyPoint[];
}

/**
 * Mean worth of the notes that a patch adds to the melody's own; the line goes on with what follows the note in the
 * patch.
 */
function toneWorth(patch: Patch, { neck, scale, chordAt, melody }: RankContext): number {
  const line = patch.fresh.flatMap((stroke) => {
    const note = stroke.by === 'brush' || isDrone(stroke) ? undefined : topNote(stroke);
    const midi = note && soundOf(neck, note);
    return midi === undefined ? [] : [{ midi, at: stroke.at }];
  });
  let sum = 0;
  let count = 0;
  for (const [i, { midi, at }] of line.entries()) {
    if (melody.some((point) => point.midi === midi)) continue;
    sum += TONE[toneClass(midi, scale, chordAt(at), line[i + 1]?.midi)];
    count += 1;
  }
  return count === 0 ? 0 : sum / count;
}

/** What a patch alone promises, for choosing which to try together. Higher is better; only for comparing. */
export function promiseOf(measure: Measure, patch: Patch, context: RankContext): number {
  const varied = { ...measure, strokes: patched(measure, [patch]) };
  const { missing } = melodyKept(context.melody, varied, context.neck);
  return (
    TASTE[patch.family] +
    toneWorth(patch, context) -
    patch.rank * PER_RANK -
    missing.length * PER_LOST
  );
}
