import { describe, expect, test } from 'vitest';
import type { Asked } from './offered';
import { answered, offered, refusedFor } from './offered';

// Where it goes: common practice, no source.
describe('a skip is possible', () => {
  test.each<[string, string, Asked, readonly string[]]>([
    [
      'on a strike, whose note the thumb sounds late',
      's3 . b123 t5 | s2 . b123 t5',
      {},
      ['r t3 b123 t5 | s2 . b123 t5'],
    ],
    [
      'on a fretted strike, whose note a hammer may sound late too',
      's3.2 . b123 t5 | s2 . b123 t5',
      {},
      ['r t3.2 b123 t5 | s2 . b123 t5', 'r h3.2 b123 t5 | s2 . b123 t5'],
    ],
    [
      'on string 1, where the thumb cannot go, with the drone',
      's1 . b123 t5 | s2 . b123 t5',
      {},
      ['r t5 b123 t5 | s2 . b123 t5'],
    ],
    [
      'on a brush before the thumb',
      's3 . b123 t5 | s2 . b123 t5',
      { stroke: 1 },
      ['s3 . r t5 | s2 . b123 t5'],
    ],
    [
      'on a strike before a hammer-on, which then comes from nowhere',
      's3 h3.2 b123 t5 | s2 . b123 t5',
      {},
      ['r h3.2 b123 t5 | s2 . b123 t5'],
    ],
    ['in 2/4', 's3 . b123 t5 | s2 . b123 t5', { meter: '2/4' }, ['r t3 b123 t5 | s2 . b123 t5']],
    [
      'in 6/8 on a held note, with a hammer in the second slot',
      's3.2 . t5 | s2 b123 t5',
      { meter: '6/8' },
      ['r h3.2 t5 | s2 b123 t5'],
    ],
    ['in a pickup', 's3 .', { startsAt: 1440 }, ['r t3']],
  ])('%s', (_, text, asked, all) => {
    expect(offered('skip', text, asked)).toEqual(all);
  });

  test('and says what to do', () => {
    expect(answered('skip', 's3.2 . b123 t5 | s2 . b123 t5').offers[0]?.words).toBe(
      'Miss this strike; the thumb comes in late on string 3 at fret 2.',
    );
  });
});

describe('a skip is refused', () => {
  test.each<[string, string, Asked, string]>([
    [
      'in 6/8 before a brush, since nothing sounds in between',
      's3 b123 t5 | s2 b123 t5',
      { meter: '6/8' },
      'nothing-carries: After a missed stroke the thumb or the left hand has to sound in the next slot, and none does. Choose a longer note or one with a thumb after it.',
    ],
    [
      'before a pull-off, which needs the strike',
      's3.2 p3 b123 t5 | s2 . b123 t5',
      {},
      'nothing-fits: The stroke after this one comes from it, so it cannot be missed. Choose another stroke.',
    ],
    [
      'on a thumb',
      's3 . b123 t5 | s2 . b123 t5',
      { stroke: 2 },
      'not-a-finger-stroke: This is the thumb on string 5. Only a strike or a brush can be missed.',
    ],
  ])('%s', (_, text, asked, words) => {
    expect(refusedFor('skip', text, asked)).toEqual([words]);
  });
});
