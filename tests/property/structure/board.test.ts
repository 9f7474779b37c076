import fc from 'fast-check';
import { expect, test } from 'vitest';
import * as Y from 'yjs';
import { checkFill } from '../../../lib/tab/fill';
import { measureOf, playOrder } from '../../../lib/tune';
import type { BoardId } from '../../../lib/units';
import { parseSavedBoard, savedBoardOf } from '../../../shared/api/saved-board';
import { demoDocuments } from '../../../shared/board/demo';
import { DocumentFamily } from '../../../shared/board/documents';
import { layoutIn } from '../../../shared/board/layout';
import { readBoard } from '../../../shared/board/read';
import { Handwork, placesFor, writeStructure } from '../../../shared/board/restructure';
import { restored } from '../../../shared/board/saved';
import type { Board } from '../../../shared/board/schema';
import { writeLocks, writeOverruled } from '../../../shared/board/write';
import type { Whim } from '../../kit/layouts';
import { anyWhim, changeFrom, namesFrom } from '../../kit/layouts';
import { planOf } from '../../kit/plan';

const ID = 'abcdefghijkl' as BoardId;
const demo = demoDocuments();
const DEMO = demo.names().map((name) => [name, Y.encodeStateAsUpdate(demo.open(name))] as const);
const whims = fc.array(anyWhim, { minLength: 1, maxLength: 12 });

function aBoard(): DocumentFamily {
  const family = new DocumentFamily();
  for (const [name, state] of DEMO) Y.applyUpdate(family.open(name), state);
  return family;
}

function boardOf(family: DocumentFamily): Board {
  const board = readBoard(ID, family);
  if (!board) throw new Error('no board');
  return board;
}

/** Makes changes on a document, those that are refused left out; says how many were made. */
function edit(lead: Y.Doc, row: readonly Whim[], fresh: ReturnType<typeof namesFrom>): number {
  return row.filter((whim) => {
    const layout = layoutIn(lead);
    const change = layout && changeFrom(layout, whim, fresh);
    return change !== undefined && writeStructure(lead, change).ok;
  }).length;
}

/** Everything that must hold of a board whatever was done to its structure. */
function expectWhole(board: Board): void {
  expect(board.leftOut).toEqual([]);
  const { meter, parts } = board.tune;
  const measures = parts.flatMap((part) => part.measures);
  const aside = board.laidAside.map(({ measure }) => measure);
  for (const plain of [...measures, ...aside])
    expect(checkFill(measureOf(meter, plain))).toEqual([]);
  for (const { measure, strokes } of [
    ...board.variants,
    ...board.laidAside.flatMap(({ variants }) => variants),
  ]) {
    const plain = [...measures, ...aside].find(({ id }) => id === measure);
    if (!plain) throw new Error('a variant of no measure');
    expect(checkFill(measureOf(meter, plain, strokes))).toEqual([]);
  }
  const plan = planOf(board);
  const played = new Set(playOrder(board.tune).map(({ measure }) => measure.id));
  expect(played.size).toBeGreaterThan(0);
  for (const pass of plan.passes) expect(new Set(Object.keys(pass))).toEqual(played);
}

/** All variants, wherever they are. */
function variantsIn(board: Board): readonly string[] {
  const waiting = board.laidAside.flatMap(({ variants }) => variants);
  return [...board.variants, ...waiting].map(({ id }) => id).sort();
}

test('whatever is done to its structure, a board is whole, its plan can be made, no variant is lost, and the file of it is the same board', () => {
  const variants = variantsIn(boardOf(aBoard()));
  fc.assert(
    fc.property(whims, (row) => {
      const family = aBoard();
      edit(family.lead, row, namesFrom('n'));
      const board = boardOf(family);
      expectWhole(board);
      expect(variantsIn(board)).toEqual(variants);
      const saved = parseSavedBoard(JSON.parse(JSON.stringify(savedBoardOf(board, 'board'))));
      if (!saved.ok) throw new Error(JSON.stringify(saved.problems));
      const again = restored(saved.value);
      const copy = boardOf(again.family);
      expect(copy.tune).toEqual(board.tune);
      expect(copy.laidAside.map(({ measure, part }) => [part, measure])).toEqual(
        board.laidAside.map(({ measure, part }) => [part, measure]),
      );
      expect(variantsIn(copy)).toEqual(variants);
    }),
    { seed: 1, numRuns: 25 },
  );
});

test('every change can be taken back, one after the other, and made again', () => {
  fc.assert(
    fc.property(whims, (row) => {
      const family = aBoard();
      const before = boardOf(family);
      const hand = new Handwork(family.lead);
      const made = edit(family.lead, row, namesFrom('n'));
      const after = boardOf(family);
      for (let i = 0; i < made; i++) hand.undo();
      expect(boardOf(family).tune).toEqual(before.tune);
      expect(boardOf(family).variants).toEqual(before.variants);
      for (let i = 0; i < made; i++) hand.redo();
      expect(boardOf(family).tune).toEqual(after.tune);
      hand.destroy();
    }),
    { seed: 2, numRuns: 60 },
  );
});

test('what was decided about a measure that is laid aside waits for it, and the plan is made without it', () => {
  const family = aBoard();
  const variant = boardOf(family).variants[0];
  if (!variant) throw new Error('no variant');
  const { measure, id } = variant;
  writeOverruled(family.lead, measure, id);
  writeLocks(family.lead, [{ pass: 2, measure, choice: id }]);
  const before = boardOf(family);
  expect(writeStructure(family.lead, { kind: 'split', measure, at: 960 }).ok).toBe(true);
  const cut = boardOf(family);
  expectWhole(cut);
  const waiting = cut.laidAside.flatMap(({ variants }) => variants);
  expect(waiting.map((one) => one.measure)).toContain(measure);
  expect(cut.variants).toHaveLength(before.variants.length - waiting.length);
  expect(writeStructure(family.lead, { kind: 'put-back', measure }).ok).toBe(true);
  const { laidAside, ...back } = boardOf(family);
  expect({ ...back, laidAside: [] }).toEqual(before);
  expect(laidAside.every(({ variants }) => variants.length === 0)).toBe(true);
});

test('two leaders who change the structure at once come to one board, and it is whole', () => {
  fc.assert(
    fc.property(whims, whims, (rowA, rowB) => {
      const [a, b] = [aBoard(), aBoard()];
      edit(a.lead, rowA, namesFrom('a'));
      edit(b.lead, rowB, namesFrom('b'));
      const [fromA, fromB] = [Y.encodeStateAsUpdate(a.lead), Y.encodeStateAsUpdate(b.lead)];
      Y.applyUpdate(a.lead, fromB);
      Y.applyUpdate(b.lead, fromA);
      expect(boardOf(a)).toEqual(boardOf(b));
      expectWhole(boardOf(a));
      expect(variantsIn(boardOf(a))).toEqual(variantsIn(boardOf(aBoard())));
    }),
    { seed: 3, numRuns: 25 },
  );
});

test('places ascend, and only what stands out of order gets another', () => {
  fc.assert(
    fc.property(
      fc.array(fc.option(fc.integer({ min: -50, max: 50 }), { nil: undefined })),
      (row) => {
        const places = placesFor(row);
        expect(places.length).toBe(row.length);
        for (const [i, place] of places.entries())
          if (i > 0) expect(place).toBeGreaterThan(places[i - 1] ?? place);
        const inOrder = row.every((one, i) => one !== undefined && one > (row[i - 1] ?? -99));
        if (inOrder) expect(places).toEqual(row);
      },
    ),
    { seed: 4, numRuns: 300 },
  );
});
