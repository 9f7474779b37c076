import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { BoardId } from '../../../lib/units';
import { parseSavedBoard, savedBoardOf } from '../../../shared/api/saved-board';
import { demoDocuments } from '../../../shared/board/demo';
import { DocumentFamily } from '../../../shared/board/documents';
import { readBoard } from '../../../shared/board/read';
import { restored } from '../../../shared/board/saved';
import { writeTune } from '../../../shared/board/write';
import { checkProblems, checkTune } from './sound-results';
import { anyTune } from './tunes';

/** How many files are mutated; `FUZZ_RUNS=10000` for all of what is promised. */
const RUNS = Number(process.env.FUZZ_RUNS ?? 1500);
const ID = 'abcdefghijkl' as BoardId;

function demoText(): string {
  const board = readBoard(ID, demoDocuments());
  if (!board) throw new Error('no demo board');
  return JSON.stringify(savedBoardOf(board, 'board'));
}

test('any tune that is saved comes back as it was', () => {
  fc.assert(
    fc.property(anyTune, (tune) => {
      const family = new DocumentFamily();
      writeTune(family.lead, tune);
      const board = readBoard(ID, family);
      if (!board) throw new Error('no board');
      const saved = parseSavedBoard(JSON.parse(JSON.stringify(savedBoardOf(board, 'music'))));
      if (!saved.ok) throw new Error(JSON.stringify(saved.problems));
      expect(saved.value.tune).toEqual(tune);
    }),
    { seed: 1, numRuns: 150 },
  );
});

const VALUES: readonly unknown[] = [
  null,
  '',
  'plain',
  -1,
  0,
  1.5,
  3,
  9999,
  [],
  {},
  true,
  'plain:m1',
  'A',
  '__proto__',
];

/** Takes out, swaps or replaces what stands at a place that is chosen by turns going down. */
function mutate(value: unknown, turns: readonly number[], act: number, put: unknown): void {
  let here: unknown = value;
  for (const [i, turn] of turns.entries()) {
    if (typeof here !== 'object' || here === null) return;
    const keys = Object.keys(here);
    const key = keys[turn % Math.max(1, keys.length)];
    if (key === undefined) return;
    const last = i === turns.length - 1;
    const child: unknown = Reflect.get(here, key);
    if (last || typeof child !== 'object' || child === null) {
      if (act === 0) Reflect.deleteProperty(here, key);
      else if (act === 1) Reflect.set(here, key, put);
      else Reflect.set(here, keys[(turn + 1) % keys.length] ?? key, child);
      return;
    }
    here = child;
  }
}

test('a mutated board is refused in words or makes a board that is whole', () => {
  const text = demoText();
  const counts = { made: 0, refused: 0 };
  const edit = fc.record({
    turns: fc.array(fc.nat(40), { minLength: 1, maxLength: 9 }),
    act: fc.nat(2),
    put: fc.constantFrom(...VALUES),
  });
  fc.assert(
    fc.property(fc.array(edit, { minLength: 1, maxLength: 3 }), (edits) => {
      const value: unknown = JSON.parse(text);
      for (const { turns, act, put } of edits) mutate(value, turns, act, put);
      const saved = parseSavedBoard(value);
      if (!saved.ok) {
        counts.refused += 1;
        checkProblems(saved.problems);
        return;
      }
      counts.made += 1;
      const board = readBoard(ID, restored(saved.value).family);
      expect(board?.leftOut).toEqual([]);
      if (board) checkTune(board.tune);
    }),
    { seed: 1, numRuns: Math.ceil(RUNS / 3) },
  );
  expect(Math.min(counts.made, counts.refused)).toBeGreaterThan(20);
});

test.each([
  null,
  3,
  'x',
  [],
  {},
  { format: 'passround-board' },
  { format: 'passround-board', version: 1 },
])('%j is no saved board', (value) => {
  const saved = parseSavedBoard(value);
  expect(saved.ok).toBe(false);
});
