import { describe, expect, test } from 'vitest';
import type { Asked } from './offered';
import { answered, offered, refusedFor } from './offered';

// Where it goes: common practice, no source.
describe('a brush with a stopped hand is possible', () => {
  test.each<[string, string, Asked, readonly string[]]>([
    [
      'instead of a brush, over the same strings',
      's3 . b123 t5 | s2 . b123 t5',
      { stroke: 1 },
      ['s3 . x123 t5 | s2 . b123 t5'],
    ],
    [
      'instead of a chord, whose frets no longer sound',
      's3 . b1.0+2.1 t5 | s2 . b123 t5',
      { stroke: 1 },
      ['s3 . x12 t5 | s2 . b123 t5'],
    ],
    [
      'on a rest where the hand goes down',
      's3 . r t5 | s2 . b123 t5',
      { stroke: 1 },
      ['s3 . x1234 t5 | s2 . b123 t5'],
    ],
    [
      'in the middle of a long note',
      's3 . . t5 | s2 . b123 t5',
      {},
      ['s3 . x1234 t5 | s2 . b123 t5'],
    ],
    [
      'in 6/8 in the second slot of a half',
      's3 . t5 | s2 b123 t5',
      { meter: '6/8' },
      ['s3 x1234 t5 | s2 b123 t5'],
    ],
  ])('%s', (_, text, asked, all) => {
    expect(offered('stopped-hand', text, asked)).toEqual(all);
  });

  test('and says what to do', () => {
    expect(answered('stopped-hand', 's3 . . t5 | s2 . b123 t5').offers[0]?.words).toBe(
      'Let the note ring, then lay the left hand flat on the strings and brush.',
    );
  });
});

describe('a brush with a stopped hand is refused', () => {
  test.each<[string, string, Asked, string]>([
    [
      'on a rest where the hand comes up',
      's3 r b123 t5 | s2 . b123 t5',
      { stroke: 1 },
      'nothing-fits: The hand does not go down here, so it cannot brush. Choose a rest where it does.',
    ],
    [
      'on a strike of two slots',
      's3 . b123 t5 | s2 . b123 t5',
      {},
      'nothing-to-stop: This is a strike on string 3. Choose a brush, a rest, or a strike that lasts past the next downward motion.',
    ],
    [
      'between a strike and the hammer-on that needs its sound',
      's3 . h3.2 | s2 b123 t5',
      { meter: '6/8' },
      'rings-on: What the left hand does next needs a strike on string 3 to ring on. Choose a stroke that nothing is hammered, pulled or slid from.',
    ],
    [
      'on a thumb',
      's3 . b123 t5 | s2 . b123 t5',
      { stroke: 2 },
      'nothing-to-stop: This is the thumb on string 5. Choose a brush, a rest, or a strike that lasts past the next downward motion.',
    ],
  ])('%s', (_, text, asked, words) => {
    expect(refusedFor('stopped-hand', text, asked)).toEqual([words]);
  });
});
