import { describe, expect, test } from 'vitest';
import type { Asked } from './offered';
import { answered, offered, refusedFor } from './offered';

// Where it goes: common practice, no source.
describe('an added brush is possible', () => {
  test.each<[string, string, Asked, readonly string[]]>([
    [
      'in the middle of a long note, with the thumb after it',
      's3 . . . | s2 . b123 t5',
      {},
      [
        's3 . b123 t5 | s2 . b123 t5',
        's3 . b123 . | s2 . b123 t5',
        's3 . b1234 t5 | s2 . b123 t5',
        's3 . b1234 . | s2 . b123 t5',
      ],
    ],
    [
      'with the fretted note held on',
      's3.2 . . . | s2 . . .',
      {},
      [
        's3.2 . b1.0+2.0+3.2 t5 | s2 . . .',
        's3.2 . b1.0+2.0+3.2 . | s2 . . .',
        's3.2 . b1.0+2.0+3.2+4.0 t5 | s2 . . .',
        's3.2 . b1.0+2.0+3.2+4.0 . | s2 . . .',
      ],
    ],
    [
      'over the chord that the measure brushes elsewhere first, and over string 4 where that was struck',
      's4 . . t5 | s2 . b1.0+2.1 t5',
      {},
      ['s4 . b1.0+2.1 t5 | s2 . b1.0+2.1 t5', 's4 . b1234 t5 | s2 . b1.0+2.1 t5'],
    ],
    [
      'in 2/4',
      's3 . . t5 | s2 . b123 t5',
      { meter: '2/4' },
      ['s3 . b123 t5 | s2 . b123 t5', 's3 . b1234 t5 | s2 . b123 t5'],
    ],
    [
      'in 3/4 in the last beat of a long note',
      's3 . . . . t5',
      { meter: '3/4' },
      ['s3 . b123 t5 | . t5', 's3 . b123 . | . t5', 's3 . b1234 t5 | . t5', 's3 . b1234 . | . t5'],
    ],
    [
      'in 6/8 in the second slot of a half',
      's3 . t5 | s2 b123 t5',
      { meter: '6/8' },
      ['s3 b123 t5 | s2 b123 t5', 's3 b1234 t5 | s2 b123 t5'],
    ],
  ])('%s', (_, text, asked, all) => {
    expect(offered('added-brush', text, asked)).toEqual(all);
  });

  test('and says what to do', () => {
    expect(answered('added-brush', 's3 . . . | s2 . b123 t5').offers[0]?.words).toBe(
      'Let the note ring, then brush over strings 1 to 3 and sound the drone.',
    );
  });
});

describe('an added brush is refused', () => {
  test.each<[string, string, Asked, string]>([
    [
      'on a note of two slots, which ends before the hand goes down again',
      's3 . b123 t5 | s2 . b123 t5',
      {},
      'too-short: This note ends before the hand goes down again. Make it longer, so that a brush fits in.',
    ],
    [
      'on a brush',
      's3 . b123 t5 | s2 . b123 t5',
      { stroke: 1 },
      'not-a-strike: This is a brush. Choose a strike on a single string.',
    ],
  ])('%s', (_, text, asked, words) => {
    expect(refusedFor('added-brush', text, asked)).toEqual([words]);
  });
});
