import { expect, test } from 'vitest';
import { problemsOf } from '../../../../lib/judge';
import { measureOf } from '../../../../lib/tune';
import type { BoardId } from '../../../../lib/units';
import { demoDocuments } from '../../../../shared/board/demo';
import { readBoard } from '../../../../shared/board/read';
import { planOf } from '../../../kit/plan';

const board = readBoard('demo' as BoardId, demoDocuments());
if (!board) throw new Error('the demo is no board');

test('the demo is whole: nothing in it is left out', () => {
  expect(board.leftOut).toEqual([]);
});

test('it has eight different variants of five measures by four people who have names', () => {
  expect(new Set(board.variants.map(({ id }) => id)).size).toBe(8);
  expect(new Set(board.variants.map(({ measure }) => measure)).size).toBe(5);
  expect(new Set(board.variants.map(({ author }) => author)).size).toBe(4);
  expect(board.people.map(({ name }) => name).sort()).toEqual(['Fern', 'Jules', 'Moss', 'Wren']);
  expect(board.variants.map(({ arrived }) => arrived)).toEqual([0, 1, 2, 3, 4, 5, 6, 7]);
});

test('every variant differs from the plain measure and can be played as it is', () => {
  const plain = new Map(
    board.tune.parts.flatMap(({ measures }) => measures).map((measure) => [measure.id, measure]),
  );
  for (const { id, measure: where, strokes } of board.variants) {
    const known = plain.get(where);
    if (!known) throw new Error(`${id} is for no measure`);
    expect(strokes).not.toEqual(known.strokes);
    expect(problemsOf(measureOf(board.tune.meter, known, strokes), board.tune.neck)).toEqual([]);
  }
});

test('voting is open, everybody has voted, and a plan can be made of it at once', () => {
  expect(board.voting).toBe('open');
  expect(Object.keys(board.approvals)).toHaveLength(4);
  const used = new Set(planOf(board).passes.flatMap((pass) => Object.values(pass)));
  expect(used.size).toBeGreaterThan(3);
});

test('each demo board is its own: two of them share no writer', () => {
  const clients = () => [...demoDocuments().lead.store.clients.keys()];
  expect(clients()).not.toEqual(clients());
});
