import { describe, expect, test } from 'vitest';
import type { Asked } from './offered';
import { answered, offered, refusedFor } from './offered';

// Where it goes: common practice, no source.
describe('an alternate-string pull-off is possible', () => {
  test.each<[string, string, Asked, readonly string[]]>([
    [
      'on both neighbouring strings, the higher one first',
      's2.1 . b123 t5 | s2 . b123 t5',
      {},
      ['s2.1 k1 b123 t5 | s2 . b123 t5', 's2.1 k3 b123 t5 | s2 . b123 t5'],
    ],
    [
      'on string 4 only towards the higher string, since the drone lies beyond',
      's4 . b123 t5 | s2 . b123 t5',
      {},
      ['s4 k3 b123 t5 | s2 . b123 t5'],
    ],
    [
      'in 6/8 in the place of the brush',
      's1 b123 t5 | s2 b123 t5',
      { meter: '6/8' },
      ['s1 k2 t5 | s2 b123 t5'],
    ],
    ['in a pickup', 's1 .', { startsAt: 1440 }, ['s1 k2']],
  ])('%s', (_, text, asked, all) => {
    expect(offered('alternate-pull-off', text, asked)).toEqual(all);
  });

  test('and says what to do', () => {
    expect(answered('alternate-pull-off', 's2.1 . b123 t5 | s2 . b123 t5').offers[0]?.words).toBe(
      'Strike string 2 at fret 1, pluck string 1 open with the left hand.',
    );
  });
});

describe('an alternate-string pull-off is refused', () => {
  test.each<[string, string, Asked, string]>([
    [
      'where the thumb sounds in its slot',
      's3 t5 b123 t5 | s3 . b123 t5',
      {},
      'slot-taken: The slot after this strike already has the thumb on string 5. Take that away, so that the strike lasts two slots.',
    ],
  ])('%s', (_, text, asked, words) => {
    expect(refusedFor('alternate-pull-off', text, asked)).toEqual([words]);
  });
});
