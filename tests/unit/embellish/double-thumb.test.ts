import { describe, expect, test } from 'vitest';
import type { Asked } from './offered';
import { answered, offered, refusedFor } from './offered';

const PLAIN = 's3 . b123 t5 | s2 . b123 t5';

// Where the second thumb goes: common practice, no source.
describe('double thumbing is possible', () => {
  test.each<[string, string, Asked, readonly string[]]>([
    ['after the strike', PLAIN, {}, ['s3 t5 b123 t5 | s2 . b123 t5']],
    [
      'after a brush',
      's3 . b123 . | s2 . b123 t5',
      { stroke: 1 },
      ['s3 . b123 t5 | s2 . b123 t5', 's3 t5 b123 t5 | s2 . b123 t5'],
    ],
    [
      'here, or after every finger stroke of the bum-ditty',
      's3 . s2 . | s2 . b123 t5',
      {},
      ['s3 t5 s2 . | s2 . b123 t5', 's3 t5 s2 t5 | s2 . b123 t5'],
    ],
    ['on the drone too', 's5 . b123 t5 | s2 . b123 t5', {}, ['s5 t5 b123 t5 | s2 . b123 t5']],
    ['in 2/2', PLAIN, { meter: '2/2' }, ['s3 t5 b123 t5 | s2 . b123 t5']],
    ['in 2/4', PLAIN, { meter: '2/4' }, ['s3 t5 b123 t5 | s2 . b123 t5']],
    ['in 3/4', 's3 . b123 t5 | b123 .', { meter: '3/4', stroke: 3 }, ['s3 . b123 t5 | b123 t5']],
    [
      'in 6/8 in the third slot of a half',
      's3 . . | s2 b123 t5',
      { meter: '6/8' },
      ['s3 . t5 | s2 b123 t5'],
    ],
    ['in a pickup', 's4 .', { startsAt: 1440 }, ['s4 t5']],
  ])('%s', (_, text, asked, all) => {
    expect(offered('double-thumb', text, asked)).toEqual(all);
  });

  test('and says what to do', () => {
    expect(answered('double-thumb', 's3 . s2 . | s2 . b123 t5').offers.map((o) => o.words)).toEqual(
      [
        'Sound the drone with the thumb after this stroke.',
        'Sound the drone with the thumb after every finger stroke of this bum-ditty.',
      ],
    );
  });
});

describe('double thumbing is refused', () => {
  test.each<[string, string, Asked, string]>([
    [
      'where the thumb sounds already',
      PLAIN,
      { stroke: 1 },
      'thumb-already: The thumb already sounds the drone after this stroke. Choose a stroke that lacks it.',
    ],
    [
      'where another stroke has the slot',
      's3 h3.2 b123 t5 | s2 . b123 t5',
      {},
      'slot-taken: The slot where the hand comes up already has a hammer-on. Take that away first.',
    ],
    [
      'after a thumb',
      PLAIN,
      { stroke: 2 },
      'not-a-finger-stroke: This is the thumb on string 5. The second thumb follows a strike or a brush.',
    ],
    [
      'in 6/8 on a strike whose half has its thumb',
      's3 b123 t5 | s2 b123 t5',
      { meter: '6/8' },
      'thumb-already: The thumb already sounds the drone after this stroke. Choose a stroke that lacks it.',
    ],
    [
      'where the measure ends with the stroke',
      's3 . b123 t5 | s3 . s3',
      { stroke: 4, ticks: 1680 },
      'too-short: The measure ends with this note. It needs room for the thumb after it: make it longer.',
    ],
  ])('%s', (_, text, asked, words) => {
    expect(refusedFor('double-thumb', text, asked)).toEqual([words]);
  });
});
