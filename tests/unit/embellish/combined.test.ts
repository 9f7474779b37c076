import { expect, test } from 'vitest';
import { familyById } from '../../../lib/embellish/all';
import type { FamilyId } from '../../../lib/embellish/family';
import { bar, textOf } from '../../kit/tab';
import { neckIn } from './offered';

type Step = readonly [family: FamilyId, stroke: number];

/** The measure after the first offer of each family in turn, at the stroke of that index by then. */
function after(text: string, steps: readonly Step[]): string {
  const neck = neckIn('gDGBD');
  let measure = bar('4/4', text);
  for (const [family, stroke] of steps) {
    const [offer] = familyById(family).apply(measure, stroke, neck).offers;
    if (!offer) throw new RangeError(`no ${family} at stroke ${stroke} of ${textOf(measure)}`);
    measure = { ...measure, strokes: offer.strokes };
  }
  return textOf(measure);
}

// Combinations that players use: common practice, no source.
test.each<[string, string, readonly Step[], string]>([
  [
    'a hammer-on in the first half, a drop thumb in the second',
    's3 . b123 t5 | s1 . b123 t5',
    [
      ['hammer-on', 0],
      ['drop-thumb', 4],
    ],
    's3 h3.2 b123 t5 | s1 t2 s1 t5',
  ],
  [
    'a pull-off and a drop thumb inside one half',
    's1.2 . s2.1 t5 | s1 . b123 t5',
    [
      ['pull-off', 0],
      ['drop-thumb', 2],
    ],
    's1.2 p1 s2.1 t3 | s1 . b123 t5',
  ],
  [
    'a hammer-on and a stopped hand inside one half',
    's3 . b123 t5 | s1 . b123 t5',
    [
      ['hammer-on', 0],
      ['stopped-hand', 2],
    ],
    's3 h3.2 x123 t5 | s1 . b123 t5',
  ],
  [
    'a brush added, then double thumbing before it',
    's3 . . . | s1 . b123 t5',
    [
      ['added-brush', 0],
      ['double-thumb', 0],
    ],
    's3 t5 b123 t5 | s1 . b123 t5',
  ],
  [
    'a hammer-on, then its strike missed',
    's3 . b123 t5 | s1 . b123 t5',
    [
      ['hammer-on', 0],
      ['skip', 0],
    ],
    'r h3.2 b123 t5 | s1 . b123 t5',
  ],
])('families combine: %s', (_, text, steps, expected) => {
  expect(after(text, steps)).toBe(expected);
});
