import { describe, expect, test } from 'vitest';
import type { Asked } from './offered';
import { answered, offered, refusedFor } from './offered';

// Where it goes: common practice, no source.
describe('a triplet is possible', () => {
  test.each<[string, string, Asked, readonly string[]]>([
    [
      'on an open string in the time of two slots',
      's3 . b123 t5 | s2 . b123 t5',
      {},
      [2, 1, 3].map((fret) => `s3~160 h3.${fret}~160 p3~160 b123 t5 | s2 . b123 t5`),
    ],
    [
      'on a fretted note also downwards and back',
      's3.2 . b123 t5 | s2 . b123 t5',
      {},
      ['h3.4~160 p3.2', 'h3.3~160 p3.2', 'h3.5~160 p3.2', 'p3~160 h3.2', 'p3.1~160 h3.2'].map(
        (mid) => `s3.2~160 ${mid}~160 b123 t5 | s2 . b123 t5`,
      ),
    ],
    [
      'on a longer note, whose last sound rings on',
      's3 . . t5 | s2 . b123 t5',
      {},
      [2, 1, 3].map((fret) => `s3~160 h3.${fret}~160 p3~400 t5 | s2 . b123 t5`),
    ],
    [
      'in 2/4 with slots half as long',
      's3 . b123 t5 | s2 . b123 t5',
      { meter: '2/4' },
      [2, 1, 3].map((fret) => `s3~80 h3.${fret}~80 p3~80 b123 t5 | s2 . b123 t5`),
    ],
    [
      'in 6/8 with the brush giving way',
      's3 b123 t5 | s2 b123 t5',
      { meter: '6/8' },
      [2, 1, 3].map((fret) => `s3~160 h3.${fret}~160 p3~160 t5 | s2 b123 t5`),
    ],
  ])('%s', (_, text, asked, all) => {
    expect(offered('triplet', text, asked)).toEqual(all);
  });

  test('and says what to do', () => {
    expect(answered('triplet', 's3 . b123 t5 | s2 . b123 t5').offers[0]?.words).toBe(
      'Strike string 3 open, hammer on to fret 2 and pull off again, in even thirds of two slots.',
    );
  });
});

describe('a triplet is refused', () => {
  test.each<[string, string, Asked, string]>([
    [
      'where the thumb sounds in the second slot',
      's3 t5 b123 t5 | s3 . b123 t5',
      {},
      'slot-taken: The slot after this strike already has the thumb on string 5. Take that away, so that the strike lasts two slots.',
    ],
  ])('%s', (_, text, asked, words) => {
    expect(refusedFor('triplet', text, asked)).toEqual([words]);
  });
});
