import { describe, expect, test } from 'vitest';
import * as edit from '../../../lib/tab/edit';
import type { Measure } from '../../../lib/tab/measure';
import { bar, textOf } from '../../kit/tab';

const PLAIN = 's3 . b123 t5 | s1 . b123 t5';

/** One case a line: this bar, this step, that bar. */
const STEPS: readonly (readonly [string, (m: Measure) => Measure, string])[] = [
  [
    'a fret on a stroke that has the string',
    (m) => edit.withNote(m, 0, 3, 2),
    's3.2 . b123 t5 | s1 . b123 t5',
  ],
  [
    'a fret in an empty up slot is a thumb',
    (m) => edit.withNote(m, 240, 4, 0),
    's3 t4 b123 t5 | s1 . b123 t5',
  ],
  [
    'a second string makes a brush',
    (m) => edit.withNote(m, 0, 2, 0),
    'b23 . b123 t5 | s1 . b123 t5',
  ],
  [
    'a brush that loses strings to one is a strike',
    (m) => edit.withoutNote(edit.withoutNote(m, 480, 1), 480, 2),
    's3 . s3 t5 | s1 . b123 t5',
  ],
  [
    'a stroke that loses its last string lets the one before ring on',
    (m) => edit.withoutNote(m, 720, 5),
    's3 . b123 . | s1 . b123 t5',
  ],
  [
    'the first stroke leaves a rest',
    (m) => edit.withoutNote(m, 0, 3),
    'r . b123 t5 | s1 . b123 t5',
  ],
  [
    'a kind for an empty slot makes a stroke there',
    (m) => edit.withBy(m, 240, 'hammer', 3),
    's3 h3 b123 t5 | s1 . b123 t5',
  ],
  [
    'a thumb in an empty up slot goes to the drone',
    (m) => edit.withBy(m, 240, 'thumb', 3),
    's3 t5 b123 t5 | s1 . b123 t5',
  ],
  [
    'a brush made a strike keeps the string where the hand is',
    (m) => edit.withBy(m, 480, 'strike', 2),
    's3 . s2 t5 | s1 . b123 t5',
  ],
  [
    'a strike made a brush takes the open strings 1 to 3',
    (m) => edit.withBy(m, 0, 'brush', 3),
    'b123 . b123 t5 | s1 . b123 t5',
  ],
  ['a stroke made a rest', (m) => edit.withBy(m, 720, 'rest', 5), 's3 . b123 r | s1 . b123 t5'],
  [
    'a stroke made longer moves all that follow',
    (m) => edit.withLength(m, 0, 240),
    's3 . . b123 | t5 s1 . b123 t5',
  ],
  ['taking a string that is not there changes nothing', (m) => edit.withoutNote(m, 0, 1), PLAIN],
  ['a stroke is not made shorter than nothing', (m) => edit.withLength(m, 1, -240), PLAIN],
];

describe('editing a measure by hand', () => {
  test.each(STEPS)('%s', (_, step, after) => {
    const changed = step(bar('4/4', PLAIN));
    expect(textOf(changed)).toBe(textOf(bar('4/4', after)));
  });

  test('which stroke sounds at a place', () => {
    const plain = bar('4/4', PLAIN);
    expect([0, 240, 480, 960, 1900].map((at) => edit.strokeIndexAt(plain, at))).toEqual([
      0, 0, 1, 3, 5,
    ]);
    expect(edit.strokeIndexAt(plain, 1920)).toBeUndefined();
  });

  test('an editor shows the slots that run over the end', () => {
    const plain = bar('4/4', PLAIN);
    expect(edit.slotCount(plain)).toBe(8);
    expect(edit.slotCount(edit.withLength(plain, 5, 480))).toBe(10);
  });
});
