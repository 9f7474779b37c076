import { describe, expect, test } from 'vitest';
import { midiAt, neckOf, TUNINGS, tuningById } from '../../../lib/tuning';
import { tuneUp } from '../../../lib/words/tune-up';

function of(id: string, capo = 0, drone = capo) {
  const tuning = tuningById(id);
  if (!tuning) throw new RangeError(`no tuning ${id}`);
  return tuneUp(neckOf(tuning, capo, drone));
}

// Source: the published tunings in tests/reference/tuning.test.ts; the turns are their differences from gDGBD, counted by hand.
test.each([
  ['gDGBD', []],
  ['gCGCD', ['string 4 down a whole step, D to C', 'string 2 up a half step, B to C']],
  ['gDGCD', ['string 2 up a half step, B to C']],
  ['gCGBD', ['string 4 down a whole step, D to C']],
  [
    'f#DF#AD',
    [
      'string 5 down a half step, G to F#',
      'string 3 down a half step, G to F#',
      'string 2 down a whole step, B to A',
    ],
  ],
])('from open G to %s', (id, turns) => {
  expect(of(id).turns).toEqual(turns);
});

// Source: a maker's rule for open G: strings 4, 3, 2 as on a guitar, first = second at fret 3, fifth = first at fret 5.
test('in open G the strings are checked at frets 5, 4, 3 and 5', () => {
  expect(of('gDGBD').checks).toBe(
    'string 3 sounds like string 4 at fret 5, string 2 sounds like string 3 at fret 4, string 1 sounds like string 2 at fret 3, and string 5 sounds like string 1 at fret 5',
  );
});

test.each(TUNINGS.map((tuning) => [tuning.id, tuning] as const))(
  'each check of %s is a unison on the neck',
  (_, tuning) => {
    const neck = neckOf(tuning);
    const pairs = [
      ...tuneUp(neck).checks.matchAll(/string (\d) sounds like string (\d) at fret (\d+)/g),
    ];
    expect(pairs).toHaveLength(4);
    for (const [, string, by, fret] of pairs)
      expect(midiAt(neck, Number(by) as 1 | 2 | 3 | 4, Number(fret))).toBe(
        tuning.open[Number(string) - 1],
      );
  },
);

describe('capo and drone', () => {
  // Source: frets.com and a maker's help page: with a capo at 2 the fifth string goes under a spike at fret 7.
  test('a capo at 2 takes the drone under a spike at fret 7', () => {
    expect(of('gDGBD', 2).capo).toBe(
      'Then put a capo at fret 2 and raise string 5 by a whole step (hooked under a spike at fret 7, or tuned up), so that it sounds aEAC#E.',
    );
  });
  test('without either nothing is said', () => {
    expect(of('gDGBD').capo).toBeUndefined();
  });
  test('a drone that stays is said to stay', () => {
    expect(of('gDGBD', 2, 0).capo).toContain('leave string 5 as it is, so that it sounds gEAC#E');
  });
});

// Source: check values: "aDADE double D = double C, capo 2".
test('double D is had from double C with a capo at 2', () => {
  expect(of('aDADE').easier).toContain('tune to double C (gCGCD), put a capo at fret 2');
  expect(of('aDADE', 2).easier).toContain(
    'put a capo at fret 4 and raise string 5 by 4 half steps',
  );
  expect(of('gDGBD').easier).toBeUndefined();
});
