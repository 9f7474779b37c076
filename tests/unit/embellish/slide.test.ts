import { describe, expect, test } from 'vitest';
import { unisonBelow } from '../../../lib/embellish/slide';
import { midiAt, openMidi } from '../../../lib/tuning';
import type { StringNumber } from '../../../lib/units';
import type { Asked } from './offered';
import { answered, neckIn, offered, refusedFor } from './offered';

const PLAIN = 's3.4 . b123 t5 | s2 . b123 t5';

// Where a slide goes: common practice, no source.
describe('a slide is possible', () => {
  test.each<[string, string, Asked, string]>([
    ['on string 3 from 2 to 4, the classic one', PLAIN, {}, 's3.2 l3.4 b123 t5 | s2 . b123 t5'],
    [
      'on string 4 from 3 to 5, the other classic one',
      's4.5 . b123 t5 | s2 . b123 t5',
      {},
      's4.3 l4.5 b123 t5 | s2 . b123 t5',
    ],
    [
      'for open string 2 into its unison on string 3',
      PLAIN,
      { stroke: 3 },
      's3.4 . b123 t5 | s3.2 l3.4 b123 t5',
    ],
    [
      'for open string 3 into its unison on string 4',
      's3 . b123 t5 | s2 . b123 t5',
      {},
      's4.3 l4.5 b123 t5 | s2 . b123 t5',
    ],
    [
      'for open string 1 into its unison on string 2',
      's1 . b123 t5 | s2 . b123 t5',
      {},
      's2.1 l2.3 b123 t5 | s2 . b123 t5',
    ],
    [
      'in double C for open string 1 by one fret, since the unison is at 2',
      's1 . b123 t5 | s2 . b123 t5',
      { neck: neckIn('gCGCD') },
      's2.1 l2.2 b123 t5 | s2 . b123 t5',
    ],
    ['in 2/2', PLAIN, { meter: '2/2' }, 's3.2 l3.4 b123 t5 | s2 . b123 t5'],
    ['in 2/4', PLAIN, { meter: '2/4' }, 's3.2 l3.4 b123 t5 | s2 . b123 t5'],
    ['in 3/4', 's1.5 . b123 t5 | b123 t5', { meter: '3/4' }, 's1.3 l1.5 b123 t5 | b123 t5'],
    [
      'in 6/8 in the place of the brush',
      's3.4 b123 t5 | s3 b123 t5',
      { meter: '6/8' },
      's3.2 l3.4 t5 | s3 b123 t5',
    ],
    ['in a pickup', 's3.4 .', { startsAt: 1440 }, 's3.2 l3.4'],
  ])('%s', (_, text, asked, first) => {
    expect(offered('slide', text, asked)[0]).toBe(first);
  });

  test('evenly or quickly into the note, from below and above, and away from it', () => {
    expect(offered('slide', 's3.4 . . . . . . .')).toEqual([
      's3.2 l3.4 . . | . . . .',
      's3.2~80 l3.4~1840',
      's3.3 l3.4 . . | . . . .',
      's3.3~80 l3.4~1840',
      's3.6 l3.4 . . | . . . .',
      's3.6~80 l3.4~1840',
      's3.5 l3.4 . . | . . . .',
      's3.5~80 l3.4~1840',
      's3.4 l3.6 . . | . . . .',
      's3.4 l3.5 . . | . . . .',
      's3.4 l3.2 . . | . . . .',
      's3.4 l3.3 . . | . . . .',
    ]);
  });

  test('away from a note onto the unison of the next open string first', () => {
    expect(offered('slide', 's3.3 . . . . . . .').find((text) => text.startsWith('s3.3 '))).toBe(
      's3.3 l3.4 . . | . . . .',
    );
  });

  test('quickly in 6/8 without taking the brush away', () => {
    expect(offered('slide', 's3.4 b123 t5 | s3 b123 t5', { meter: '6/8' })[1]).toBe(
      's3.2~80 l3.4~160 b123 t5 | s3 b123 t5',
    );
  });

  test('and says what to do', () => {
    expect(
      answered('slide', PLAIN)
        .offers.map(({ words }) => words)
        .slice(0, 2),
    ).toEqual([
      'Strike string 3 at fret 2, slide up to fret 4 in the next slot.',
      'Strike string 3 at fret 2, slide up to fret 4 at once.',
    ]);
    expect(answered('slide', PLAIN, { stroke: 3 }).offers[0]?.words).toBe(
      'Strike string 3 at fret 2, slide up to fret 4 in the next slot, the same note as string 2 open.',
    );
  });
});

describe('a slide is refused', () => {
  test.each<[string, string, Asked, string]>([
    [
      'on open string 4, which has no lower string to borrow from',
      's4 . b123 t5 | s3 . b123 t5',
      {},
      'open-string: An open string cannot slide, and the next lower string has no fret that slides into the same note. Choose a fretted note.',
    ],
    [
      'where the thumb sounds in its slot',
      's3.4 t5 b123 t5 | s3 . b123 t5',
      {},
      'slot-taken: The slot after this strike already has the thumb on string 5. Take that away, so that the strike lasts two slots.',
    ],
    [
      'on a brush',
      PLAIN,
      { stroke: 1 },
      'not-a-strike: This is a brush. Choose a strike on a single string.',
    ],
  ])('%s', (_, text, asked, words) => {
    expect(refusedFor('slide', text, asked)).toEqual([words]);
  });
});

// The frets follow from the intervals between the open strings, which tests/reference/tuning.test.ts checks against published values.
describe('the unison of an open string stands on the next lower one', () => {
  test.each([
    ['gDGBD', [3, 4, 5]],
    ['gCGCD', [2, 5, 7]],
    ['aDADE', [2, 5, 7]],
    ['gDGCD', [2, 5, 5]],
    ['gCGBD', [3, 4, 7]],
    ['f#DF#AD', [5, 3, 4]],
  ] as const)('in %s at frets %j', (id, frets) => {
    const neck = neckIn(id);
    const strings: readonly StringNumber[] = [1, 2, 3];
    const unisons = strings.map((string) => unisonBelow(neck, string));
    expect(unisons.map((note) => note?.fret)).toEqual(frets);
    for (const [i, note] of unisons.entries())
      expect(note && midiAt(neck, note.string, note.fret)).toBe(openMidi(neck, strings[i] ?? 1));
  });

  test('but not for string 4, whose lower neighbour is the drone', () => {
    expect(unisonBelow(neckIn('gDGBD'), 4)).toBeUndefined();
  });
});
