import type { Note } from '../tab/measure';
import type { Fret } from '../units';
import type { Moment } from './moments';
import { mmBetween } from './neck-distance';

/** Index, middle, ring, little. */
export type Finger = 1 | 2 | 3 | 4;
export const FINGERS: readonly Finger[] = [1, 2, 3, 4];

/** A way to stop a moment's notes: where the hand lies and which finger is on which note. */
export interface Hold {
  /** The fret, from the capo, at which the index lies when nothing is stretched; at least 1. */
  readonly position: Fret;
  /** The finger on each of the moment's stopped notes, in their order. */
  readonly fingers: readonly Finger[];
}

/**
 * Frets from the lowest to the highest stopped note that a hand spans: four, and one more is a stretch.
 * Source: common practice, no source.
 */
export const SPAN = 4;
/**
 * A finger lies at its own fret or one beside it, never below the index.
 * Source: one finger a fret, one more is a stretch; common practice, no source.
 */
const ASTRAY = 1;

/** Effort in mm of the same weight as a mm of stretch. Source: our estimates, common practice, no source. */
const FLAT_MM = 12;
const FLAT_NOT_INDEX_MM = 6;
const LITTLE_MM = 4;
/** Fingers that close up within the hand cost this part of the way. Source: as above. */
const CLOSED_PART = 0.25;

/** What is stopped at once, ascending by string, and which strings sound open with it. */
export type Chord = Pick<Moment, 'stopped' | 'open'>;

/** Can this finger of a hand at this position stop this fret? */
function reaches(position: Fret, finger: Finger, fret: Fret): boolean {
  return fret >= position && Math.abs(fret - (position + finger - 1)) <= ASTRAY;
}

/** May one finger lie flat over both notes? At one fret, and no string that sounds open between them. */
function sharesFinger(moment: Chord, a: Note, b: Note): boolean {
  if (a.fret !== b.fret) return false;
  const [low, high] = [Math.min(a.string, b.string), Math.max(a.string, b.string)];
  return (
    moment.open.every((string) => string < low || string > high) &&
    moment.stopped.every((n) => n.string < low || n.string > high || n.fret >= a.fret)
  );
}

/** May these two fingers lie on these two notes at once? The second note is on the lower string (the higher number). */
function besides(moment: Chord, a: Note, fingerA: Finger, b: Note, fingerB: Finger): boolean {
  if (fingerA === fingerB) return sharesFinger(moment, a, b);
  return a.fret === b.fret ? fingerA > fingerB : a.fret < b.fret === fingerA < fingerB;
}

/** Can the next note take this finger, given those of the notes before it? */
function takes(
  moment: Chord,
  position: Fret,
  before: readonly Finger[],
  finger: Finger | undefined,
): boolean {
  const note = moment.stopped[before.length];
  if (!note || finger === undefined || !reaches(position, finger, note.fret)) return false;
  return before.every((other, i) => {
    const beside = moment.stopped[i];
    return beside !== undefined && besides(moment, beside, other, note, finger);
  });
}

/**
 * Can a hand do this? Each finger at its fret or one beside it within five frets from the index up, higher fingers on
 * higher frets and at one fret on higher strings, one finger for two notes only flat at one fret.
 * Source: common practice, no source.
 */
export function isHold(moment: Chord, { position, fingers }: Hold): boolean {
  if (!Number.isInteger(position) || position < 1) return false;
  return moment.stopped.every((_, i) => takes(moment, position, fingers.slice(0, i), fingers[i]));
}

/** Can any hand stop these notes at once? */
export function hasHold(chord: Chord): boolean {
  return holdsOf(chord).length > 0;
}

/** All holds of a moment, low positions first; none when no hand can stop its notes. */
export function holdsOf(moment: Chord): readonly Hold[] {
  const [first] = moment.stopped;
  if (!first) return [];
  const holds: Hold[] = [];
  const fill = (position: Fret, fingers: readonly Finger[]): void => {
    if (fingers.length === moment.stopped.length) holds.push({ position, fingers });
    else
      for (const finger of FINGERS)
        if (takes(moment, position, fingers, finger)) fill(position, [...fingers, finger]);
  };
  for (let position = Math.max(1, first.fret - SPAN); position <= first.fret; position++)
    fill(position, []);
  return holds;
}

/** Effort of fingers that lie beside their own frets: a stretch by its mm, closing up within the hand by a part of them. */
function astrayCost(moment: Chord, hold: Hold, capo: Fret): number {
  let sum = 0;
  for (const [i, { fret }] of moment.stopped.entries()) {
    const own = hold.position + (hold.fingers[i] ?? 1) - 1;
    if (own === fret) continue;
    const part = fret === hold.position + SPAN ? 1 : CLOSED_PART;
    sum += part * mmBetween(own + capo, fret + capo);
  }
  return sum;
}

/** How far the little finger reaches beyond the hand's four frets, in mm; 0 if it does not. */
export function reachMm(moment: Chord, { position }: Hold, capo: Fret): number {
  const beyond = position + SPAN;
  if (!moment.stopped.some(({ fret }) => fret === beyond)) return 0;
  return mmBetween(beyond - 1 + capo, beyond + capo);
}

/** What it costs to keep the hold, in mm: stretch, flat fingers, the little finger. */
export function holdCost(moment: Chord, hold: Hold, capo: Fret): number {
  let effort = astrayCost(moment, hold, capo) + (hold.fingers.includes(4) ? LITTLE_MM : 0);
  for (const finger of FINGERS)
    if (hold.fingers.filter((other) => other === finger).length > 1)
      effort += FLAT_MM + (finger === 1 ? 0 : FLAT_NOT_INDEX_MM);
  return effort;
}
