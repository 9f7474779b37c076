import type { Ticks } from '../../units';
import { TICKS_PER_QUARTER } from '../../units';

/** A sound in ticks of 480 a quarter. */
export interface Timed {
  readonly at: number;
  readonly length: number;
  readonly midi: number;
}

/** What written music falls on: thirty-seconds and the triplets of sixteenths. */
const FINEST: Ticks = 20;
const STRAIGHT: Ticks = TICKS_PER_QUARTER / 4;
const TRIPLET: Ticks = TICKS_PER_QUARTER / 3;
/** How much nearer triplets must lie before a beat is taken for one. Source: our estimate. */
const TRIPLET_GAIN = 0.6;
/** A gap that is shorter than this is how a player lets go, not a rest. Source: our estimate: an eighth. */
const LEGATO: Ticks = TICKS_PER_QUARTER / 2;

function isOn(value: number, grid: Ticks): boolean {
  return Math.abs(value - Math.round(value / grid) * grid) < 1e-6;
}

function nearest(value: number, grid: Ticks): Ticks {
  return Math.round(value / grid) * grid;
}

function distance(values: readonly number[], grid: Ticks): number {
  return values.reduce((sum, value) => sum + Math.abs(value - nearest(value, grid)), 0);
}

/** For each quarter the grid on which its onsets lie best. */
function gridsOf(onsets: readonly number[]): ReadonlyMap<number, Ticks> {
  const beats = new Map<number, number[]>();
  for (const onset of onsets) {
    const beat = Math.floor(onset / TICKS_PER_QUARTER);
    beats.set(beat, [...(beats.get(beat) ?? []), onset]);
  }
  return new Map(
    [...beats].map(([beat, list]) => {
      const triplet = distance(list, TRIPLET) < distance(list, STRAIGHT) * TRIPLET_GAIN;
      return [beat, triplet ? TRIPLET : STRAIGHT];
    }),
  );
}

/** Notes that begin together as their highest, and each only until the next begins. */
function oneAtATime(notes: readonly Timed[]): {
  readonly line: readonly Timed[];
  readonly dropped: number;
} {
  const byStart = new Map<number, Timed>();
  for (const note of notes) {
    const there = byStart.get(note.at);
    if (!there || note.midi > there.midi) byStart.set(note.at, note);
  }
  const line = [...byStart.values()].sort((a, b) => a.at - b.at);
  return { line, dropped: notes.length - line.length };
}

export interface Quantised {
  /** One after the other, in whole ticks. */
  readonly notes: readonly Timed[];
  /** Notes whose beginning was moved. */
  readonly moved: number;
  /** Notes that sounded together with a higher one. */
  readonly dropped: number;
}

/**
 * Played notes as written ones. Where every note begins on a thirty-second or a triplet already, beginnings stay; else each goes to the
 * nearest sixteenth, or the nearest eighth triplet in beats that lie on those. Ends go along, and short gaps are closed.
 */
export function quantised(played: readonly Timed[]): Quantised {
  const onsets = played.map(({ at }) => at);
  const exact = onsets.every((at) => isOn(at, FINEST));
  const grids = gridsOf(onsets);
  const placed = played.map((note) => {
    const grid = grids.get(Math.floor(note.at / TICKS_PER_QUARTER)) ?? STRAIGHT;
    return { ...note, at: exact ? Math.round(note.at) : nearest(note.at, grid) };
  });
  const moved = exact
    ? 0
    : placed.filter(({ at }, i) => Math.abs(at - (onsets[i] ?? 0)) > 0.5).length;
  const { line, dropped } = oneAtATime(placed);
  const exactEnds = line.every(({ length }) => isOn(length, FINEST));
  const notes = line.map((note, i): Timed => {
    const next = line[i + 1]?.at ?? Number.POSITIVE_INFINITY;
    const room = next - note.at;
    const own = exactEnds
      ? Math.round(note.length)
      : Math.max(STRAIGHT, nearest(note.length, STRAIGHT));
    const length = !exactEnds && room - own < LEGATO ? room : Math.min(own, room);
    return { ...note, length };
  });
  return { notes, moved, dropped };
}
