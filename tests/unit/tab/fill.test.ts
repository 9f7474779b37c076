import { describe, expect, test } from 'vitest';
import { checkFill } from '../../../lib/tab/fill';
import { bar } from '../../kit/tab';

function found(text: string): readonly string[] {
  return checkFill(bar('4/4', text)).map(
    ({ code, where, words }) => `${code} ${where.stroke ?? '-'}: ${words}`,
  );
}

describe('does the measure add up', () => {
  test.each([
    's3 . b123 t5 | s1 . b123 t5',
    's3 . . . . . . .',
    's3~160 h3.2~160 p3~160 b123 t5 s1 . b123 t5',
  ])('%s does', (text) => expect(found(text)).toEqual([]));

  test.each([
    ['', ['empty -: There are no strokes yet. Put a strike on slot 1.']],
    [
      's3 . b123 t5',
      ['too-short 2: The measure is 4 slots too short. Make the last stroke longer or add one.'],
    ],
    [
      's3 . b123 t5 s1 . b123 t5 r',
      ['too-long 6: The measure is 1 slot too long. Shorten the last stroke or take one away.'],
    ],
    [
      's3 b123@480 t5 s1 . b123 t5',
      ['gap 1: 1 slot before stroke 2 is empty. Make the stroke before it longer or add a rest.'],
    ],
    [
      's3 . . b123@480 t5 s1 . b123 t5',
      ['overlap 1: Stroke 2 starts 1 slot before the one before it ends. Shorten that one.'],
    ],
    [
      's3 . b123 t5 s1 . b123 t5~120',
      [
        'too-short 5: The measure is half a slot too short. Make the last stroke longer or add one.',
      ],
    ],
  ])('"%s" does not', (text, words) => expect(found(text)).toEqual(words));
});
