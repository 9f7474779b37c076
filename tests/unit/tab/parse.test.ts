import { describe, expect, test } from 'vitest';
import { parseStrokes } from '../../../lib/tab/parse';

const GOOD = { at: 0, length: 480, by: 'strike', notes: [{ string: 3, fret: 0 }] };

describe('strokes from outside', () => {
  test('what has the right shape comes in, and nothing else with it', () => {
    const parsed = parseStrokes([
      {
        ...GOOD,
        extra: 1,
        notes: [
          { string: 3, fret: 2, x: 0 },
          { string: 1, fret: 0 },
        ],
      },
    ]);
    expect(parsed).toEqual({
      ok: true,
      value: [
        {
          at: 0,
          length: 480,
          by: 'strike',
          notes: [
            { string: 1, fret: 0 },
            { string: 3, fret: 2 },
          ],
        },
      ],
    });
  });

  test.each([
    [undefined, 'not-strokes'],
    [{ length: 1 }, 'not-strokes'],
    [Array.from({ length: 49 }, () => GOOD), 'too-many-strokes'],
    [[null], 'stroke-shape'],
    [[{ ...GOOD, at: -1 }], 'stroke-time'],
    [[{ ...GOOD, at: 0.5 }], 'stroke-time'],
    [[{ ...GOOD, length: 0 }], 'stroke-time'],
    [[{ ...GOOD, length: 1e9 }], 'stroke-time'],
    [[{ ...GOOD, by: 'tap' }], 'stroke-kind'],
    [[{ ...GOOD, notes: [] }], 'note-shape'],
    [[{ ...GOOD, by: 'rest' }], 'note-shape'],
    [[{ ...GOOD, notes: [{ string: 6, fret: 0 }] }], 'note-shape'],
    [[{ ...GOOD, notes: [{ string: 1, fret: 25 }] }], 'note-shape'],
    [
      [
        {
          ...GOOD,
          notes: [
            { string: 1, fret: 0 },
            { string: 1, fret: 2 },
          ],
        },
      ],
      'note-shape',
    ],
  ])('%j is refused: %s', (value, code) => {
    const parsed = parseStrokes(value);
    expect(parsed.ok).toBe(false);
    expect(parsed.ok ? [] : parsed.problems.map((problem) => problem.code)).toEqual([code]);
  });

  test('all problems are named, each with its stroke', () => {
    const parsed = parseStrokes([GOOD, { ...GOOD, by: 'x' }, { ...GOOD, at: 'a' }]);
    expect(parsed.ok ? [] : parsed.problems.map((problem) => problem.where.stroke)).toEqual([1, 2]);
  });
});
