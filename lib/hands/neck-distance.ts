import type { Fret } from '../units';

/**
 * Length of the open long strings of a usual five-string, in mm.
 * Source: references, "26.25 to 26.5 inches", from memory; 26.4 in = 670 mm.
 */
export const SCALE_MM = 670;

/**
 * Distance from the nut to a neck fret along the string, in the unit of `scale`.
 * @param fret   neck fret, whole, 0 is the nut; a capo's fret already added
 * @param scale  open string's length, > 0
 * @throws RangeError if `fret` is negative or not whole (a mistake in our code; user input is parsed before)
 * Source: equal temperament, scale * (1 - 2^(-fret/12)); checked in tests/reference/hands/neck-distance.test.ts
 */
export function nutToFret(fret: Fret, scale = SCALE_MM): number {
  if (!Number.isInteger(fret) || fret < 0) throw new RangeError(`fret ${fret} is not on a neck`);
  return scale * (1 - 2 ** (-fret / 12));
}

/** The highest neck fret that a hand position can name: frets of foreign tab and a capo added up. */
const LAST = 40;
const FROM_NUT: readonly number[] = Array.from({ length: LAST + 1 }, (_, fret) => nutToFret(fret));

/**
 * Distance between two neck frets in mm on the usual scale, from a table (it is asked for thousands of times a measure).
 * @throws RangeError beyond fret 40
 */
export function mmBetween(a: Fret, b: Fret): number {
  const from = FROM_NUT[a];
  const to = FROM_NUT[b];
  if (from === undefined || to === undefined)
    throw new RangeError(`no distance between frets ${a} and ${b}`);
  return Math.abs(to - from);
}
