import { expect, test } from 'vitest';
import type * as Y from 'yjs';
import { hasPutForwardAll } from '../../../../app/_islands/board/sights';
import type { BoardId, MeasureId, ParticipantId, VariantId } from '../../../../lib/units';
import { demoDocuments } from '../../../../shared/board/demo';
import { proposalIdsIn, readBoard } from '../../../../shared/board/read';
import { ballotOf, saidBy } from '../../../../shared/board/roles';
import { SAID } from '../../../../shared/board/schema';
import { MAX_VARIANTS } from '../../../../shared/board/values';
import {
  takeBackProposal,
  writeApproval,
  writeArrivals,
  writeProposal,
} from '../../../../shared/board/write';

const ID = 'demo' as BoardId;
const BUSY = 'busy00000001' as ParticipantId;

/** Puts forward so many variants that differ, of the measures of the demo in turn. */
function putForward(said: Y.Doc, from: number, count: number): readonly VariantId[] {
  return Array.from({ length: count }, (_, index) => {
    const n = from + index;
    const strokes = [{ at: n, length: 1, by: 'rest', notes: [] }] as const;
    const measure = `m${1 + (n % 16)}` as MeasureId;
    return writeProposal(said, BUSY, { measure, strokes, note: '' });
  });
}

function demo() {
  const documents = demoDocuments();
  const before = readBoard(ID, documents)?.variants.length ?? 0;
  const said = documents.open(saidBy(BUSY));
  const board = () => {
    const read = readBoard(ID, documents);
    if (!read) throw new Error('no board');
    return read;
  };
  const own = () => board().variants.filter(({ author }) => author === BUSY);
  return { documents, before, said, board, own };
}

test('of what one person puts forward the first ones count, and those of everybody else', () => {
  const { documents, before, said, board, own } = demo();
  const first = putForward(said, 0, MAX_VARIANTS);
  writeArrivals(documents.house, first);
  expect(own()).toHaveLength(MAX_VARIANTS);
  expect(board().leftOut).toEqual([]);
  expect(hasPutForwardAll(board(), BUSY)).toBe(true);
  const late = putForward(said, MAX_VARIANTS, 100);
  writeArrivals(documents.house, late);
  expect(own().map(({ id }) => id)).toEqual(first);
  expect(board().variants).toHaveLength(before + MAX_VARIANTS);
  expect(board().leftOut).toEqual([
    {
      code: 'too-many',
      where: { document: saidBy(BUSY) },
      words: `Of what one person puts forward the first ${MAX_VARIANTS} variants count; 100 more are left out.`,
    },
  ]);
});

test('whoever takes one back makes room for the next', () => {
  const { documents, said, own, board } = demo();
  const ids = putForward(said, 0, MAX_VARIANTS + 1);
  writeArrivals(documents.house, ids);
  for (const id of ids.slice(0, 1)) takeBackProposal(said, id);
  expect(own().map(({ id }) => id)).toEqual(ids.slice(1));
  expect(board().leftOut).toEqual([]);
  for (const id of ids.slice(1, 2)) takeBackProposal(said, id);
  expect(hasPutForwardAll(board(), BUSY)).toBe(false);
});

test('what arrived before counts before what was never noted', () => {
  const { documents, said, own } = demo();
  const unnoted = putForward(said, 0, MAX_VARIANTS);
  const noted = putForward(said, MAX_VARIANTS, 10);
  writeArrivals(documents.house, noted);
  const ids = own().map(({ id }) => id);
  expect(ids.slice(0, 10)).toEqual(noted);
  expect(ids.slice(10)).toEqual([...unnoted].sort().slice(0, MAX_VARIANTS - 10));
});

test('what cannot be read is told to an end', () => {
  const { documents, said, board } = demo();
  const ballot = documents.open(ballotOf(BUSY));
  for (let n = 0; n < 500; n += 1) {
    said.getMap(SAID.proposals).set(`x${n}`, n);
    ballot.getMap('approvals').set(`x${n}`, n);
  }
  writeApproval(ballot, 'plain:m1', true);
  expect(proposalIdsIn(said)).toHaveLength(500);
  expect(board().leftOut).toHaveLength(100);
  expect(board().approvals[BUSY]).toEqual(['plain:m1']);
});
