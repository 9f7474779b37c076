import { describe, expect, test } from 'vitest';
import type { BoardId, MeasureId } from '../../../../lib/units';
import { demoDocuments } from '../../../../shared/board/demo';
import { measuresOf, planToPlay } from '../../../../shared/board/plan-to-play';
import { readBoard } from '../../../../shared/board/read';
import { plainId } from '../../../../shared/board/schema';
import { tallyOf } from '../../../../shared/board/tally';
import {
  writeAgreed,
  writeLocks,
  writeOverruled,
  writePlainPass,
} from '../../../../shared/board/write';
import { planOf } from '../../../kit/plan';

function demo() {
  const documents = demoDocuments();
  const read = () => {
    const board = readBoard('demo' as BoardId, documents);
    if (!board) throw new Error('the demo is no board');
    return board;
  };
  return { documents, read };
}

describe('votes', () => {
  test('are counted by variant and by plain measure', () => {
    const board = demo().read();
    const tally = tallyOf(board);
    expect(board.variants.map(({ id }) => tally.get(id))).toEqual([3, 1, 2, 3, 2, 2, 3, 2]);
    expect(tally.get(plainId('m8' as MeasureId))).toBe(2);
    expect(tally.get(plainId('m2' as MeasureId))).toBeUndefined();
  });
});

describe('a plan', () => {
  test('names every measure in every pass, and holds what it names', () => {
    const board = demo().read();
    const plan = planOf(board);
    expect(plan.passes).toHaveLength(board.passes);
    for (const pass of plan.passes) {
      expect(new Set(Object.keys(pass))).toEqual(new Set(measuresOf(board).map(({ id }) => id)));
      for (const [measure, choice] of Object.entries(pass))
        if (choice !== 'plain') expect(plan.variants[choice]?.measure).toBe(measure);
    }
    for (const { by } of Object.values(plan.variants))
      expect(['Wren', 'Fern', 'Jules', 'Moss']).toContain(by);
  });

  test('does not follow the leader to a variant that is not there', () => {
    const { documents, read } = demo();
    const gone = 'abcdefghijkl.0123456789abcdef' as Parameters<typeof writeOverruled>[2];
    const before = planOf(read());
    writeOverruled(documents.lead, 'm1' as MeasureId, gone);
    expect(planOf(read())).toEqual(before);
  });

  test('that was published is made again, cell by cell, while nothing it depends on changes', () => {
    const { documents, read } = demo();
    const plan = planOf(read());
    writeAgreed(documents.lead, plan);
    expect(planOf(read())).toEqual(plan);
  });

  test('keeps what the leader locks and keeps plain', () => {
    const { documents, read } = demo();
    const [, variant] = read().variants.filter(({ measure }) => measure === 'm1');
    if (!variant) throw new Error('the demo has two variants of measure 1');
    const measure = 'm1' as MeasureId;
    writeLocks(documents.lead, [{ pass: 3, measure, choice: variant.id }]);
    writePlainPass(documents.lead, 4, true);
    const { passes } = planOf(read());
    expect(passes[2]?.m1).toBe(variant.id);
    expect(new Set(Object.values(passes[3] ?? {}))).toEqual(new Set(['plain']));
    writeLocks(documents.lead, [{ pass: 4, measure, choice: variant.id }]);
    expect(() => planOf(read())).toThrow('measure 1 of pass 4');
    writeLocks(documents.lead, [{ pass: 4, measure, choice: undefined }]);
    expect(planOf(read()).passes[2]?.m1).toBe(variant.id);
  });

  test('that was published is played, whatever is voted afterwards; without one the plain tune once', () => {
    const { documents, read } = demo();
    expect(planToPlay(read()).passes).toHaveLength(1);
    expect(new Set(Object.values(planToPlay(read()).passes[0] ?? {}))).toEqual(new Set(['plain']));
    const plan = planOf(read());
    writeAgreed(documents.lead, plan);
    writeOverruled(documents.lead, 'm1' as MeasureId, 'plain');
    expect(planToPlay(read())).toEqual(plan);
  });
});

test('measures are named in the order in which a pass first meets them, each once', () => {
  const ids = measuresOf(demo().read()).map(({ id }) => id);
  expect(ids).toEqual(Array.from({ length: 16 }, (_, index) => `m${index + 1}`));
});
