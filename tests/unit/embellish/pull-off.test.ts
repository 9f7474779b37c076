import { describe, expect, test } from 'vitest';
import type { Asked } from './offered';
import { answered, offered, refusedFor } from './offered';

const PLAIN = 's3.2 . b123 t5 | s2 . b123 t5';

// Where a pull-off goes: common practice, no source.
describe('a pull-off is possible', () => {
  test.each<[string, string, Asked, string]>([
    ['on a fretted note, to the open string first', PLAIN, {}, 's3.2 p3 b123 t5 | s2 . b123 t5'],
    [
      'into an open note from two frets up',
      PLAIN,
      { stroke: 3 },
      's3.2 . b123 t5 | s2.2 p2 b123 t5',
    ],
    ['in 2/2', PLAIN, { meter: '2/2' }, 's3.2 p3 b123 t5 | s2 . b123 t5'],
    ['in 2/4', PLAIN, { meter: '2/4' }, 's3.2 p3 b123 t5 | s2 . b123 t5'],
    ['in 3/4', 's1.2 . b123 t5 | b123 t5', { meter: '3/4' }, 's1.2 p1 b123 t5 | b123 t5'],
    [
      'in 6/8 in the place of the brush',
      's3.2 b123 t5 | s3 b123 t5',
      { meter: '6/8' },
      's3.2 p3 t5 | s3 b123 t5',
    ],
    ['in a pickup', 's1.3 .', { startsAt: 1440 }, 's1.3 p1'],
  ])('%s', (_, text, asked, first) => {
    expect(offered('pull-off', text, asked)[0]).toBe(first);
  });

  test('left downwards, then reached from above, within four frets', () => {
    expect(offered('pull-off', 's3.4 . . . . . . .')).toEqual(
      [
        's3.4 p3',
        's3.4 p3.2',
        's3.4 p3.3',
        's3.4 p3.1',
        's3.6 p3.4',
        's3.5 p3.4',
        's3.7 p3.4',
        's3.8 p3.4',
      ].map((text) => `${text} . . | . . . .`),
    );
  });

  test('never from a fret that the neck does not have', () => {
    expect(offered('pull-off', 's3.22 . . . . . . .')).toEqual(
      ['s3.22 p3', 's3.22 p3.20', 's3.22 p3.21', 's3.22 p3.19', 's3.22 p3.18'].map(
        (text) => `${text} . . | . . . .`,
      ),
    );
  });

  test('and says what to do', () => {
    expect(answered('pull-off', PLAIN).offers[0]?.words).toBe(
      'Strike string 3 at fret 2, pull off to the open string.',
    );
    expect(answered('pull-off', PLAIN, { stroke: 3 }).offers[0]?.words).toBe(
      'Strike string 2 at fret 2 and pull off into the note, the open string.',
    );
  });
});

describe('a pull-off is refused', () => {
  test.each<[string, string, Asked, string]>([
    [
      'where the thumb sounds in its slot',
      's3.2 t5 b123 t5 | s3 . b123 t5',
      {},
      'slot-taken: The slot after this strike already has the thumb on string 5. Take that away, so that the strike lasts two slots.',
    ],
    [
      'on a brush',
      PLAIN,
      { stroke: 1 },
      'not-a-strike: This is a brush. Choose a strike on a single string.',
    ],
    [
      'on the drone',
      's5 . b123 t5 | s3 . b123 t5',
      {},
      'on-the-drone: This strikes the drone, which rings open. Choose a strike on strings 1 to 4.',
    ],
  ])('%s', (_, text, asked, words) => {
    expect(refusedFor('pull-off', text, asked)).toEqual([words]);
  });
});
