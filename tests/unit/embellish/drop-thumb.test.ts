import { describe, expect, test } from 'vitest';
import type { Asked } from './offered';
import { answered, offered, refusedFor } from './offered';

// Where the thumb drops: common practice, no source.
describe('drop thumbing is possible', () => {
  test.each<[string, string, Asked, string]>([
    [
      'as 1 2 1 5, the pattern to practise first',
      's1 . b123 t5 | s2 . b123 t5',
      {},
      's1 t2 s1 t5 | s2 . b123 t5',
    ],
    ['between two strikes', 's1 . s1 t5 | s2 . b123 t5', {}, 's1 t2 s1 t5 | s2 . b123 t5'],
    [
      'from string 2 to string 3',
      's2.1 . s1 t5 | s2 . b123 t5',
      {},
      's2.1 t3 s1 t5 | s2 . b123 t5',
    ],
    ['from string 3 to string 4', 's3 . s3 t5 | s2 . b123 t5', {}, 's3 t4 s3 t5 | s2 . b123 t5'],
    [
      'instead of the drone after the second strike',
      's1 . s1 t5 | s2 . b123 t5',
      { stroke: 1 },
      's1 . s1 t2 | s2 . b123 t5',
    ],
    ['in 2/2', 's1 . s1 t5 | s2 . b123 t5', { meter: '2/2' }, 's1 t2 s1 t5 | s2 . b123 t5'],
    ['in 2/4', 's1 . s1 t5 | s2 . b123 t5', { meter: '2/4' }, 's1 t2 s1 t5 | s2 . b123 t5'],
    ['in 3/4', 's1 . b123 t5 | b123 t5', { meter: '3/4' }, 's1 t2 s1 t5 | b123 t5'],
    [
      'in 6/8 in the third slot, for which the brush gives way',
      's1 b123 t5 | s2 b123 t5',
      { meter: '6/8' },
      's1 . t2 | s2 b123 t5',
    ],
    [
      'in 6/8 on a note that is held',
      's1 . t5 | s2 b123 t5',
      { meter: '6/8' },
      's1 . t2 | s2 b123 t5',
    ],
    ['in a pickup', 's2 .', { startsAt: 1440 }, 's2 t3'],
  ])('%s', (_, text, asked, first) => {
    expect(offered('drop-thumb', text, asked)[0]).toBe(first);
  });

  test('on every string on the bass side, the next one first, with the brush struck again or kept', () => {
    expect(offered('drop-thumb', 's1 . b123 t5 | s2 . b123 t5')).toEqual(
      ['t2 s1', 't2 b123', 't3 s1', 't3 b123', 't4 s1', 't4 b123'].map(
        (text) => `s1 ${text} t5 | s2 . b123 t5`,
      ),
    );
  });

  test('at frets that the measure uses under the same hand, after the open strings', () => {
    expect(offered('drop-thumb', 's1.2 . s1 t5 | s2.1 . s2.8 t5')).toEqual(
      ['t2', 't3', 't4', 't2.1'].map((text) => `s1.2 ${text} s1 t5 | s2.1 . s2.8 t5`),
    );
  });

  test('and says what to do', () => {
    expect(
      answered('drop-thumb', 's1 . b123 t5 | s2 . b123 t5')
        .offers.map((o) => o.words)
        .slice(0, 2),
    ).toEqual([
      'Strike string 1 open, drop the thumb to string 2 open, and strike again instead of the brush.',
      'Strike string 1 open, drop the thumb to string 2 open.',
    ]);
  });
});

describe('drop thumbing is refused', () => {
  test.each<[string, string, Asked, string]>([
    [
      'from string 4, which has no inner string on its bass side',
      's4 . b123 t5 | s2 . b123 t5',
      {},
      'no-inner-string: On the bass side of string 4 there is no inner string for the thumb. Choose a strike on strings 1 to 3.',
    ],
    [
      'where a hammer-on has the slot',
      's3 h3.2 b123 t5 | s2 . b123 t5',
      {},
      'slot-taken: The slot where the thumb would drop in already has a hammer-on. Take that away, so that the strike lasts two slots.',
    ],
    [
      'where the thumb has dropped already',
      's1 t2 s1 t5 | s2 . b123 t5',
      {},
      'slot-taken: The slot where the thumb would drop in already has the thumb on string 2. Take that away, so that the strike lasts two slots.',
    ],
    [
      'after a brush',
      's1 . b123 t5 | s2 . b123 t5',
      { stroke: 1 },
      'not-a-strike: This is a brush. Choose a strike on a single string.',
    ],
    [
      'where the measure ends with the note',
      's3 . b123 t5 | s3 . s3',
      { stroke: 4, ticks: 1680 },
      'too-short: The measure ends with this note. It needs room for the thumb after it: make it longer.',
    ],
  ])('%s', (_, text, asked, words) => {
    expect(refusedFor('drop-thumb', text, asked)).toEqual([words]);
  });
});
