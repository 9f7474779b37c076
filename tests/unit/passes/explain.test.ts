import { describe, expect, test } from 'vitest';
import { whyCell } from '../../../lib/passes/explain';
import { planPasses } from '../../../lib/passes/plan-passes';
import type { Choice, Lock, PlanRequest } from '../../../lib/passes/request';
import type { MeasureId, VariantId } from '../../../lib/units';

const M = (name: string) => name as MeasureId;
const choice = (id: string, risk = 0, families: readonly string[] = []): Choice => ({
  id: id as VariantId | 'plain',
  families,
  busyness: 6,
  load: 0,
  risk,
});

function request(more: Partial<PlanRequest>): PlanRequest {
  return {
    measures: [],
    form: [],
    passes: 3,
    plainFirst: true,
    rule: 'phragmen',
    carry: false,
    locks: [],
    capacity: 99,
    joinCost: () => 0,
    ...more,
  };
}

function why(one: PlanRequest, pass: number, measure: string): string {
  const result = planPasses(one);
  if (!result.ok) throw new Error('a sound request');
  return whyCell(result.value, one, pass, M(measure));
}

/** Two seats of measure one: `a` and `b`, each wanted by half. Measure two plays `c` throughout. */
function two(a: Choice, b: Choice, more: Partial<PlanRequest> = {}): PlanRequest {
  return request({
    measures: [
      { id: M('one'), choices: [choice('plain'), a, b], ballots: [['a'], ['a'], ['b'], ['b'], []] },
      {
        id: M('two'),
        choices: [choice('plain'), choice('c')],
        ballots: [['c'], [], [], [], []],
      },
      { id: M('three'), choices: [choice('plain')], ballots: [[], [], [], [], []] },
    ],
    form: [M('one'), M('two'), M('three')],
    ...more,
  });
}

const lock = (pass: number): Lock => ({ kind: 'plain-pass', pass });
const locked: Lock = { kind: 'cell', pass: 2, measure: M('one'), choice: 'plain' };

describe('[P18] why a cell is what it is', () => {
  test.each<[string, PlanRequest, number, string, string]>([
    [
      'the plain first pass',
      two(choice('a'), choice('b')),
      1,
      'one',
      'Plain because pass 1 is played plain.',
    ],
    [
      'a pass kept plain',
      two(choice('a'), choice('b'), { locks: [lock(2)] }),
      2,
      'one',
      'Plain because the leader keeps pass 2 plain.',
    ],
    [
      'a lock',
      two(choice('a'), choice('b'), { locks: [locked] }),
      2,
      'one',
      'Here because the leader locked it.',
    ],
    [
      'no votes',
      two(choice('a'), choice('b')),
      2,
      'three',
      'Plain because nobody has approved anything in this measure.',
    ],
    ['votes alone', two(choice('a'), choice('b')), 2, 'one', 'Here because 2 of 4 approve it.'],
    ['one vote alone', two(choice('a'), choice('b')), 3, 'two', 'Here because 1 of 1 approves it.'],
    [
      'safe in the last pass',
      two(choice('a', 4), choice('b', 0)),
      3,
      'one',
      'Here because 2 of 4 approve it and it is safe to end on.',
    ],
    [
      'a family for the first time',
      two(choice('a', 4, ['drop-thumb']), choice('b', 0)),
      2,
      'one',
      'Here because 2 of 4 approve it and it brings in the first drop thumb.',
    ],
    [
      'its join',
      two(choice('a'), choice('b'), {
        passes: 3,
        joinCost: (_, a, __, b) => (a === 'b' && b === 'c' ? 9 : 0),
        locks: [{ kind: 'cell', pass: 3, measure: M('two'), choice: 'plain' }],
      }),
      2,
      'one',
      'Here because 2 of 4 approve it and its hand position joins measure 2.',
    ],
  ])('%s', (_, one, pass, measure, words) => expect(why(one, pass, measure)).toBe(words));

  test.each([
    [4, 'one'],
    [1, 'four'],
  ])('pass %i of measure %s is not in the plan', (pass, measure) =>
    expect(() => why(two(choice('a'), choice('b')), pass, measure)).toThrow(RangeError),
  );
});
