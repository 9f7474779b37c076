import { describe, expect, test } from 'vitest';
import { lineDistance, lineLikeness } from '../../lib/mongeau-sankoff';

/**
 * M. Mongeau, D. Sankoff, "Comparison of Musical Sequences", Computers and the Humanities 24 (1990) 161-175. We have not read
 * the paper itself. What is known of it here:
 * - the prices by steps of the scale, as one public program has them that names the paper as its source, and the prices by
 *   semitones and the weight of lengths, as another one has them (each read once, in part; both agree with our memory);
 * - the operations: exchange, leaving out, adding, breaking up, drawing together.
 * Every distance of whole lines below is computed by hand from those prices. None is the paper's own worked value: its table
 * of variations on a theme could not be had.
 */
const G_MAJOR = [7, 9, 11, 0, 2, 4, 6];
const G4 = 67;
/** Weight of a sixteenth of length. Source: the second program, as the paper's k. */
const K = 0.348;

/**
 * Distance of two notes of a sixteenth. Leaving out one and adding the other costs 2 k = 0.696, so that no higher price of an
 * exchange ever shows in a distance.
 */
function exchange(semitones: number): number {
  return lineDistance([note(G4)], [note(G4 + semitones)], G_MAJOR);
}

function note(midi: number, sixteenths = 1) {
  return { midi, sixteenths };
}

describe('exchanging two notes of the scale costs what is reported of the paper, by their distance in steps', () => {
  // Source: the first program. The second (0.9) and the seventh (0.8) are dearer than leaving out and adding.
  test.each([
    ['a unison', 0, 0],
    ['a third', 4, 0.2],
    ['a fourth', 5, 0.5],
    ['a fifth', 7, 0.1],
    ['a sixth', 9, 0.35],
    ['an octave', 12, 0],
    ['an octave and a fifth', 19, 0.1],
    ['a second, by leaving out and adding', 2, 2 * K],
    ['a seventh, by leaving out and adding', 11, 2 * K],
  ])('%s', (_, semitones, price) => {
    expect(exchange(semitones)).toBeCloseTo(price, 12);
  });
});

describe('outside of the scale it costs by semitones', () => {
  // Source: the second program has 2.6, 1, 1.8 and 1.3 for these; all are dearer than leaving out and adding.
  test.each([
    ['a minor second', 1, 2 * K],
    ['a minor third', 3, 2 * K],
    ['a tritone', 6, 2 * K],
    ['a minor sixth', 8, 2 * K],
  ])('%s is left out and added, which is cheaper', (_, semitones, price) => {
    expect(exchange(semitones)).toBeCloseTo(price, 12);
  });
});

describe('by hand from the prices', () => {
  test.each([
    ['leaving out a note: k for each sixteenth', [note(67, 4), note(71, 4)], [note(67, 4)], 4 * K],
    [
      'the same pitch for longer: k for each sixteenth too much',
      [note(67, 2)],
      [note(67, 6)],
      4 * K,
    ],
    [
      'breaking up a note into notes of its pitch and together its length: nothing',
      [note(67, 8)],
      [note(67, 4), note(67, 2), note(67, 2)],
      0,
    ],
    [
      'drawing a note and its third together: the third over its own time',
      [note(67, 2), note(71, 2)],
      [note(67, 4)],
      0.2 * 2,
    ],
    [
      'a fifth for longer: the fifth over the time they share, and k for the rest',
      [note(67, 2)],
      [note(74, 4)],
      0.1 * 2 + 2 * K,
    ],
    ['nothing against a line: all of it added', [], [note(67, 4), note(74, 2)], 6 * K],
  ])('%s', (_, a, b, price) => {
    expect(lineDistance(a, b, G_MAJOR)).toBeCloseTo(price, 12);
    expect(lineDistance(b, a, G_MAJOR)).toBeCloseTo(price, 12);
  });

  test('likeness is 1 less the distance as a part of leaving out all and adding all', () => {
    expect(lineLikeness([note(67, 2)], [note(74, 2)], G_MAJOR)).toBeCloseTo(1 - 0.2 / (4 * K), 12);
  });
});

test('it is no metric, and must not be taken for one: two fifths are nearer than the second between their ends', () => {
  const [g, d, a] = [note(67), note(74), note(81)].map((each) => [each]);
  const way = (x = g ?? [], y = g ?? []) => lineDistance(x, y, G_MAJOR);
  expect(way(g, d) + way(d, a)).toBeCloseTo(0.2, 12);
  expect(way(g, a)).toBeCloseTo(2 * K, 12);
});

test('where we depart from what is reported of the paper: an octave outside of the scale costs nothing', () => {
  // The second program has 0.6 for a unison outside of the scale. Two equal notes must not differ, so ours is 0.
  expect(lineDistance([note(68)], [note(68)], G_MAJOR)).toBe(0);
  expect(lineDistance([note(68)], [note(80)], G_MAJOR)).toBe(0);
});
