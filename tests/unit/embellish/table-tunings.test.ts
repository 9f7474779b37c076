import { describe, expect, test } from 'vitest';
import type { TuningId } from '../../../lib/tuning';
import { TUNINGS } from '../../../lib/tuning';
import { neckIn, offered } from './offered';

/**
 * The frets of the next lower string that sound like strings 1, 2 and 3 open, reckoned by hand from the tunings' pitches
 * (tests/reference/tuning.test.ts has their sources): in gDGBD D4 is 3 above B3, B3 is 4 above G3, G3 is 5 above D3.
 */
const UNISONS: Readonly<Record<TuningId, readonly [number, number, number]>> = {
  gDGBD: [3, 4, 5],
  gCGCD: [2, 5, 7],
  aDADE: [2, 5, 7],
  gDGCD: [2, 5, 5],
  gCGBD: [3, 4, 7],
  'f#DF#AD': [5, 3, 4],
};

const REST = 's2 . b123 t5';

// A slide lands on the unison of the next open string, from two frets below or, where there is no such fret, from one:
// common practice, no source.
describe.each(TUNINGS.map(({ id }) => id))('in %s the classic slides', (id) => {
  const strings = [1, 2, 3] as const;

  test.each(strings)('stand in for string %i open', (string) => {
    const fret = UNISONS[id][string - 1] ?? 0;
    const from = Math.max(1, fret - 2);
    const [first] = offered('slide', `s${string} . b123 t5 | ${REST}`, { neck: neckIn(id) });
    expect(first).toBe(`s${string + 1}.${from} l${string + 1}.${fret} b123 t5 | ${REST}`);
  });

  test.each(strings)('stand in for string %i open with a capo at 2 at the same frets', (string) => {
    const text = `s${string} . b123 t5 | ${REST}`;
    expect(offered('slide', text, { neck: neckIn(id, 2) })).toEqual(
      offered('slide', text, { neck: neckIn(id) }),
    );
  });

  test('do not stand in for string 4 open, since the drone lies beyond it', () => {
    expect(offered('slide', `s4 . b123 t5 | ${REST}`, { neck: neckIn(id) })).toEqual([]);
  });
});

// "String 3 from 2 to 4, and string 4 from 3 to 5, are the classic ones in gDGBD": common practice, no source.
test.each([
  ['s3.4', 's3.2 l3.4'],
  ['s4.5', 's4.3 l4.5'],
])('in gDGBD %s is reached as %s', (plain, slid) => {
  expect(offered('slide', `${plain} . b123 t5 | ${REST}`)[0]).toBe(`${slid} b123 t5 | ${REST}`);
});
