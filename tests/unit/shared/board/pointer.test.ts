import { expect, test } from 'vitest';
import { pointedWords } from '../../../../app/_islands/follow/pointed';
import type { BoardId } from '../../../../lib/units';
import { demoDocuments } from '../../../../shared/board/demo';
import { readBoard } from '../../../../shared/board/read';
import { LEAD } from '../../../../shared/board/schema';
import { writePointer } from '../../../../shared/board/write';

const ID = 'demo' as BoardId;

test('a leader points at a measure or a variant, and points no longer', () => {
  const documents = demoDocuments();
  const before = readBoard(ID, documents);
  expect(before?.pointer).toBeUndefined();
  const variant = before?.variants[0];
  if (!variant) throw new Error('the demo has no variant');
  const pointer = { measure: variant.measure, variant: variant.id };
  writePointer(documents.lead, pointer);
  const board = readBoard(ID, documents);
  expect(board?.pointer).toEqual(pointer);
  expect(board && pointedWords(board, pointer)).toMatch(/^\w+'s variant of measure \d+$/);
  expect(board && pointedWords(board, { measure: variant.measure })).toMatch(/^measure \d+$/);
  writePointer(documents.lead, undefined);
  expect(readBoard(ID, documents)?.pointer).toBeUndefined();
});

test('what is no place on the board is left out and told', () => {
  const documents = demoDocuments();
  documents.lead.getMap(LEAD.transport).set('pointer', { measure: '"] *' });
  const board = readBoard(ID, documents);
  expect(board?.pointer).toBeUndefined();
  expect(board?.leftOut.map(({ code }) => code)).toEqual(['pointer']);
});
