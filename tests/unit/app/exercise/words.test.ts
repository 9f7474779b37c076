import { describe, expect, test } from 'vitest';
import {
  leftOnTheClock,
  stretchWords,
  takenWords,
  taskWords,
} from '../../../../app/_islands/exercise/words';
import type { BoardId, MeasureId } from '../../../../lib/units';
import { demoDocuments } from '../../../../shared/board/demo';
import { readBoard } from '../../../../shared/board/read';

const board = readBoard('demo' as BoardId, demoDocuments());
if (!board) throw new Error('the demo cannot be read');
const m = (number: number) => `m${number}` as MeasureId;

describe('an exercise in words', () => {
  // The demo's parts are eight measures each.
  test.each([
    [1, 8, 'the A part'],
    [16, 9, 'the B part'],
    [3, 6, 'measures 3 to 6'],
    [7, 10, 'measures 7 to 10'],
    [5, 5, 'measure 5'],
    [5, 99, 'measures that are no longer there'],
  ])('from measure %i to %i is %s', (from, to, words) =>
    expect(stretchWords(board, { from: m(from), to: m(to) })).toBe(words),
  );

  test('it says what is tried where', () =>
    expect(
      taskWords(board, { family: 'pull-off', from: m(1), to: m(8), atMs: 0, minutes: 5 }),
    ).toBe('pull-off in the A part'));

  test.each([
    [8, 0, 'Nobody has taken one of the 8 measures yet.'],
    [8, 1, '1 of 8 measures is taken.'],
    [8, 3, '3 of 8 measures are taken.'],
    [8, 8, 'All 8 measures are taken.'],
  ])('of %i measures %i are taken', (all, taken, words) =>
    expect(takenWords(all, taken)).toBe(words),
  );

  test.each([
    [300_000, '5:00'],
    [299_001, '5:00'],
    [299_000, '4:59'],
    [60_000, '1:00'],
    [9_500, '0:10'],
    [1, '0:01'],
    [0, '0:00'],
    [-5_000, '0:00'],
  ])('%i ms are left as %s: it shows nothing left at the end and not before', (ms, words) =>
    expect(leftOnTheClock(ms)).toBe(words),
  );
});
