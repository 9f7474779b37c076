import { describe, expect, test } from 'vitest';
import type { Asked } from './offered';
import { answered, offered, refusedFor } from './offered';

// Where it goes: common practice, no source.
describe('a hammer from nowhere is possible', () => {
  test.each<[string, string, Asked, readonly string[]]>([
    [
      'on both neighbouring strings, the higher one first',
      's3 . b123 t5 | s2 . b123 t5',
      {},
      ['h2.2', 'h2.1', 'h2.3', 'h2.4', 'h4.2', 'h4.1', 'h4.3', 'h4.4'].map(
        (h) => `s3 ${h} b123 t5 | s2 . b123 t5`,
      ),
    ],
    [
      'under the hand up the neck',
      's1.7 . b123 t5 | s2 . b123 t5',
      {},
      ['h2.7', 'h2.9', 'h2.8', 'h2.6'].map((h) => `s1.7 ${h} b123 t5 | s2 . b123 t5`),
    ],
    [
      'in 6/8 in the place of the brush',
      's1 b123 t5 | s2 b123 t5',
      { meter: '6/8' },
      ['h2.2', 'h2.1', 'h2.3', 'h2.4'].map((h) => `s1 ${h} t5 | s2 b123 t5`),
    ],
    [
      'in a pickup',
      's1 .',
      { startsAt: 1440 },
      ['h2.2', 'h2.1', 'h2.3', 'h2.4'].map((h) => `s1 ${h}`),
    ],
  ])('%s', (_, text, asked, all) => {
    expect(offered('hammer-from-nowhere', text, asked)).toEqual(all);
  });

  test('and says what to do', () => {
    expect(answered('hammer-from-nowhere', 's3 . b123 t5 | s2 . b123 t5').offers[0]?.words).toBe(
      'Strike string 3 open, hammer string 2 at fret 2 without striking it.',
    );
  });
});

describe('a hammer from nowhere is refused', () => {
  test.each<[string, string, Asked, string]>([
    [
      'where the thumb sounds in its slot',
      's3 t5 b123 t5 | s3 . b123 t5',
      {},
      'slot-taken: The slot after this strike already has the thumb on string 5. Take that away, so that the strike lasts two slots.',
    ],
  ])('%s', (_, text, asked, words) => {
    expect(refusedFor('hammer-from-nowhere', text, asked)).toEqual([words]);
  });
});
