import type { Key } from './harmony';
import { scaleOf } from './harmony';
import type { MelodyPoint } from './melody-marks';
import { isDrone, melodyOf, soundOf, topNote } from './melody-marks';
import type { LineNote } from './mongeau-sankoff';
import { lineLikeness } from './mongeau-sankoff';
import { groupAt, slotsIn } from './rhythm';
import type { Measure } from './tab/measure';
import type { Neck } from './tuning';
import type { Midi, Ticks } from './units';
import { TICKS_PER_QUARTER } from './units';

/** Which notes of the plain melody a variation keeps. */
export interface MelodyKept {
  readonly kept: number;
  readonly of: number;
  /** Melody notes that are not heard in their own bum-ditty, in order. */
  readonly missing: readonly MelodyPoint[];
}

/** Something heard: its time, and its pitch. */
interface Heard {
  readonly at: Ticks;
  readonly midi: Midi;
  readonly drone: boolean;
}

/** What is heard in order: of each stroke the note that stands out. */
function heardIn(measure: Measure, neck: Neck): readonly Heard[] {
  return measure.strokes.flatMap((stroke) => {
    const note = topNote(stroke);
    const midi = note && soundOf(neck, note);
    return midi === undefined ? [] : [{ at: stroke.at, midi, drone: isDrone(stroke) }];
  });
}

/** Index of the bum-ditty that a time falls into, counted over all bars. */
function groupIndex(measure: Measure, at: Ticks): number {
  const { meter } = measure;
  const slots = slotsIn(meter);
  const slot = Math.floor((measure.startsAt + at) / meter.slot);
  return Math.floor(slot / slots) * meter.groups.length + groupAt(meter, slot % slots).index;
}

/**
 * The most of `wanted` that is heard in this order, as indices.
 * Source: longest common subsequence by dynamic programming (textbook).
 */
function inOrder(wanted: readonly MelodyPoint[], heard: readonly Heard[]): ReadonlySet<number> {
  const isHeard = (point: MelodyPoint, { midi, drone }: Heard) =>
    midi === point.midi && (!drone || point.note.string === 5);
  const best: number[][] = Array.from({ length: wanted.length + 1 }, () => [0]);
  const at = (i: number, j: number): number => best[i]?.[j] ?? 0;
  for (const [i, point] of wanted.entries())
    for (const [j, sound] of heard.entries()) {
      const row = best[i + 1];
      if (row)
        row[j + 1] = isHeard(point, sound) ? at(i, j) + 1 : Math.max(at(i, j + 1), at(i + 1, j));
    }
  const found = new Set<number>();
  for (let i = wanted.length, j = heard.length; i > 0 && j > 0; ) {
    if (at(i, j) === at(i - 1, j)) i -= 1;
    else if (at(i, j) === at(i, j - 1)) j -= 1;
    else {
      found.add(i - 1);
      i -= 1;
      j -= 1;
    }
  }
  return found;
}

/**
 * Is it still the tune? Each melody note of the plain measure should be heard at its pitch in its own bum-ditty, in
 * order, on whichever string: struck, reached, thumbed, or on top of a brush. The drone counts only for a melody that
 * itself plays the drone.
 * @param melody the plain measure's melody, from `melodyOf`
 * Source: "each melody note is heard in its own beat"; common practice, no source.
 */
export function melodyKept(
  melody: readonly MelodyPoint[],
  varied: Measure,
  neck: Neck,
): MelodyKept {
  const heard = heardIn(varied, neck);
  const groups = [...new Set(melody.map(({ at }) => groupIndex(varied, at)))];
  const missing = groups.flatMap((group) => {
    const own = melody.filter(({ at }) => groupIndex(varied, at) === group);
    const found = inOrder(
      own,
      heard.filter(({ at }) => groupIndex(varied, at) === group),
    );
    return own.filter((_, i) => !found.has(i));
  });
  return { kept: melody.length - missing.length, of: melody.length, missing };
}

function lineOf(points: readonly MelodyPoint[]): readonly LineNote[] {
  return points.map(({ midi, length }) => ({
    midi,
    sixteenths: length / (TICKS_PER_QUARTER / 4),
  }));
}

/**
 * How much the variation's line sounds like the plain melody, 0 to 1: the same notes for the same time are 1. What a
 * brush sounds is no part of the line, nor is the drone.
 */
export function melodyLikeness(
  melody: readonly MelodyPoint[],
  varied: Measure,
  neck: Neck,
  key: Key,
): number {
  return lineLikeness(lineOf(melody), lineOf(melodyOf(varied, neck)), scaleOf(key));
}
