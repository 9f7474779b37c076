import type { Midi } from './units';

/** A note of a line for comparing: its pitch and its length in sixteenths, > 0. */
export interface LineNote {
  readonly midi: Midi;
  readonly sixteenths: number;
}

/**
 * Price of exchanging two notes of the scale by their distance in scale steps, octaves left out: unison, second, third,
 * ... seventh.
 * Source: M. Mongeau, D. Sankoff, "Comparison of Musical Sequences", Computers and the Humanities 24, 1990; the numbers
 * from memory, not re-read.
 */
const BY_STEPS: readonly number[] = [0, 0.9, 0.2, 0.5, 0.1, 0.35, 0.8];
/**
 * The same by semitones, where one of the two is outside of the scale.
 * Source: as above, from memory; 0 for octaves is ours.
 */
const BY_SEMITONES: readonly number[] = [0, 2.6, 2.3, 1, 1, 1.6, 1.8, 0.8, 1.3, 1.3, 2.2, 2.5];
/** Price of a sixteenth that is missing, added, or too much. Source: the paper's k1, from memory. */
const PER_SIXTEENTH = 0.348;
/**
 * Notes into which one may be broken up, or which may be drawn together into one.
 * Source: ours; a bum-ditty has four slots.
 */
const PIECES = 4;

/** Place of a pitch in the scale, counted in steps from the tonic of octave 0, or undefined outside of the scale. */
function stepOf(midi: Midi, scale: readonly number[]): number | undefined {
  const tonic = scale[0] ?? 0;
  const above = (((midi - tonic) % 12) + 12) % 12;
  const degree = scale.findIndex((pitch) => (pitch - tonic + 12) % 12 === above);
  return degree < 0 ? undefined : Math.floor((midi - tonic) / 12) * 7 + degree;
}

function intervalPrice(a: Midi, b: Midi, scale: readonly number[]): number {
  const from = stepOf(a, scale);
  const to = stepOf(b, scale);
  if (from !== undefined && to !== undefined) return BY_STEPS[Math.abs(from - to) % 7] ?? 0;
  return BY_SEMITONES[Math.abs(a - b) % 12] ?? 0;
}

/** Price of the interval between two notes over the time that they share. */
function shared(a: LineNote, b: LineNote, scale: readonly number[]): number {
  return intervalPrice(a.midi, b.midi, scale) * Math.min(a.sixteenths, b.sixteenths);
}

function lengthOf(line: readonly LineNote[]): number {
  return line.reduce((sum, { sixteenths }) => sum + sixteenths, 0);
}

/**
 * How much it costs to turn one line into another by exchanging, leaving out, adding, breaking up and drawing together
 * notes, at the least; 0 for the same line (also an octave apart), the same both ways. It is no metric: two fifths are
 * cheap and the second between their ends is dear, so that a way round may be shorter.
 * @param scale pitch classes of the key, tonic first
 * Cost: product of the lengths.
 * Source: Mongeau and Sankoff 1990, as above; weights from memory.
 */
export function lineDistance(
  a: readonly LineNote[],
  b: readonly LineNote[],
  scale: readonly number[],
): number {
  const prices = a.map((x) => b.map((y) => shared(x, y, scale)));
  const price = (i: number, j: number): number => prices[i]?.[j] ?? 0;
  const table: number[][] = [];
  const at = (i: number, j: number): number => table[i]?.[j] ?? Number.POSITIVE_INFINITY;
  for (let i = 0; i <= a.length; i++) {
    const row: number[] = [];
    table.push(row);
    for (let j = 0; j <= b.length; j++) {
      let least = i === 0 && j === 0 ? 0 : Number.POSITIVE_INFINITY;
      const x = a[i - 1]?.sixteenths ?? 0;
      const y = b[j - 1]?.sixteenths ?? 0;
      if (i > 0) least = Math.min(least, at(i - 1, j) + PER_SIXTEENTH * x);
      if (j > 0) least = Math.min(least, at(i, j - 1) + PER_SIXTEENTH * y);
      // One note of `a` against the last k of `b`, then one of `b` against the last k of `a`.
      for (let k = 1, sum = 0, length = 0; i > 0 && k <= Math.min(PIECES, j); k++) {
        sum += price(i - 1, j - k);
        length += b[j - k]?.sixteenths ?? 0;
        least = Math.min(least, at(i - 1, j - k) + sum + PER_SIXTEENTH * Math.abs(x - length));
      }
      for (let k = 1, sum = 0, length = 0; j > 0 && k <= Math.min(PIECES, i); k++) {
        sum += price(i - k, j - 1);
        length += a[i - k]?.sixteenths ?? 0;
        least = Math.min(least, at(i - k, j - 1) + sum + PER_SIXTEENTH * Math.abs(y - length));
      }
      row.push(least);
    }
  }
  return at(a.length, b.length);
}

/**
 * The distance as likeness: 1 for the same line, 0 where leaving out all and adding all is the cheapest way; 1 for two
 * empty lines.
 */
export function lineLikeness(
  a: readonly LineNote[],
  b: readonly LineNote[],
  scale: readonly number[],
): number {
  const most = PER_SIXTEENTH * (lengthOf(a) + lengthOf(b));
  return most === 0 ? 1 : Math.max(0, 1 - lineDistance(a, b, scale) / most);
}
