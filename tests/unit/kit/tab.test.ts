import { describe, expect, test } from 'vitest';
import { bar, strokesOf, textOf } from '../../kit/tab';

describe('the one-line notation', () => {
  test('spells a plain bum-ditty', () => {
    expect(strokesOf('4/4', 's3 . b1.0+2.1 t5')).toEqual([
      { at: 0, length: 480, by: 'strike', notes: [{ string: 3, fret: 0 }] },
      {
        at: 480,
        length: 240,
        by: 'brush',
        notes: [
          { string: 1, fret: 0 },
          { string: 2, fret: 1 },
        ],
      },
      { at: 720, length: 240, by: 'thumb', notes: [{ string: 5, fret: 0 }] },
    ]);
  });

  test.each([
    ['4/4', 's3 . b123 t5 | s2.1 h2.3 b1234 t5'],
    ['2/4', 's3.2 l3.4 s1 t5 | r . x1234 t2'],
    ['4/4', 's1~160 h1.2~160 p1~160 b123 t5 | s1.12 . . .'],
    ['6/8', 's3 b123 t5 | k1.3 . t5'],
    ['4/4', 's3 . | . . t5'],
    ['4/4', 's3 t5@480'],
  ] as const)('in %s, text to strokes to text is the same: %s', (meter, text) => {
    const measure = bar(meter, text);
    expect(strokesOf(meter, textOf(measure))).toEqual(measure.strokes);
  });

  test('writes back what it read, with | between bum-ditties', () => {
    expect(textOf(bar('4/4', 's3 . b123 t5 s2.1 h2.3 b123 t5'))).toBe(
      's3 . b123 t5 | s2.1 h2.3 b123 t5',
    );
    expect(textOf(bar('4/4', 't4 t5', { startsAt: 1440 }))).toBe('t4 t5');
  });

  test.each(['q3', 's', 'r1', 's6', 's3.', '. s3', 's3~'])('refuses "%s"', (text) => {
    expect(() => strokesOf('4/4', text)).toThrow(RangeError);
  });
});
