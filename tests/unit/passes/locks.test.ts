import { describe, expect, test } from 'vitest';
import { planPasses } from '../../../lib/passes/plan-passes';
import type { Lock, PlanRequest } from '../../../lib/passes/request';
import type { MeasureId, VariantId } from '../../../lib/units';

const M = (name: string) => name as MeasureId;
const V = (name: string) => name as VariantId;
const variant = (id: string, hidden = false) => ({
  id: V(id),
  families: [],
  busyness: 6,
  load: 1,
  risk: 0,
  hidden,
});
const plain = { id: 'plain' as const, families: [], busyness: 5, load: 0, risk: 0 };

function request(locks: readonly Lock[], plainFirst = true): PlanRequest {
  const measures = [
    {
      id: M('one'),
      choices: [plain, variant('a'), variant('b', true)],
      ballots: [['a'], ['a', 'b']],
    },
    { id: M('two'), choices: [plain, variant('c')], ballots: [['c'], []] },
  ];
  return {
    measures,
    form: [M('one'), M('two')],
    passes: 4,
    plainFirst,
    rule: 'phragmen',
    carry: false,
    locks,
    capacity: 9,
    joinCost: () => 0,
  };
}

const cell = (pass: number, measure: string, choice: string): Lock => ({
  kind: 'cell',
  pass,
  measure: M(measure),
  choice: choice === 'plain' ? 'plain' : V(choice),
});
const plainPass = (pass: number): Lock => ({ kind: 'plain-pass', pass });

describe('[P11] locks that cannot be respected are explained', () => {
  test.each<[string, readonly Lock[], string, string]>([
    [
      'a pass that the plan does not have',
      [plainPass(5)],
      '0 no-such-pass',
      'A lock names pass 5, but the plan has passes 1 to 4. Remove the lock or plan more passes.',
    ],
    [
      'a measure that is gone',
      [cell(2, 'three', 'a')],
      '0 no-such-measure',
      'A lock names a measure that the tune no longer has. Remove the lock.',
    ],
    [
      'a variant of another measure',
      [cell(2, 'two', 'a')],
      '0 no-such-variant',
      "The lock on measure 2 of pass 2 names a variant that is not one of that measure's. Remove the lock or choose another variant.",
    ],
    [
      'a hidden variant',
      [cell(2, 'one', 'b')],
      '0 hidden-variant',
      'The lock on measure 1 of pass 2 names a hidden variant. Show the variant again or remove the lock.',
    ],
    [
      'a variant in the plain first pass',
      [cell(1, 'one', 'a')],
      '0 contradiction',
      'A variant is locked in measure 1 of pass 1, but pass 1 is to be played plain. Remove the lock, or let pass 1 be varied.',
    ],
    [
      'a variant in a pass that is to stay plain',
      [cell(3, 'one', 'a'), plainPass(3)],
      '0 contradiction',
      'A variant is locked in measure 1 of pass 3, but that pass is to stay plain. Remove one of the two locks.',
    ],
    [
      'two things in one cell',
      [cell(3, 'two', 'c'), cell(3, 'two', 'plain')],
      '1 contradiction',
      'Two locks want different things in measure 2 of pass 3. Remove one of them.',
    ],
  ])('%s', (_, locks, code, words) => {
    const result = planPasses(request(locks));
    expect(
      result.ok ? [] : result.problems.map((one) => [`${one.where.lock} ${one.code}`, one.words]),
    ).toEqual([[code, words]]);
  });

  test('all at once, not only the first', () => {
    const result = planPasses(request([plainPass(0), cell(2, 'one', 'b'), cell(1, 'two', 'c')]));
    expect(result.ok ? [] : result.problems.map((one) => one.where.lock)).toEqual([0, 1, 2]);
  });
});

describe('[P11] locks that agree', () => {
  test.each<[string, readonly Lock[], boolean]>([
    ['the same lock twice', [cell(2, 'one', 'a'), cell(2, 'one', 'a')], true],
    ['plain in a plain pass', [cell(2, 'one', 'plain'), plainPass(2)], true],
    ['a variant in pass 1 where it is not plain', [cell(1, 'one', 'a')], false],
    ['every pass plain', [1, 2, 3, 4].map(plainPass), true],
  ])('%s', (_, locks, plainFirst) => expect(planPasses(request(locks, plainFirst)).ok).toBe(true));
});

test('[P12] a hidden variant is not elected, whoever approves it', () => {
  const result = planPasses(request([]));
  const played = result.ok ? result.value.passes.flatMap((pass) => [...pass.values()]) : ['none'];
  expect(new Set(played)).toEqual(new Set(['plain', 'a', 'c']));
});

describe('a request that no parsed board makes is a mistake of ours', () => {
  const sound = request([]);
  const [one, two] = sound.measures;
  if (!one || !two) throw new Error('two measures');
  test.each<[string, PlanRequest]>([
    ['half a pass', { ...sound, passes: 1.5 }],
    ['no pass', { ...sound, passes: 0 }],
    ['no measures', { ...sound, measures: [] }],
    ['a measure without its plain choice', { ...sound, measures: [{ ...one, choices: [] }, two] }],
    ['people who are not in every measure', { ...sound, measures: [one, { ...two, ballots: [] }] }],
    [
      'half a note',
      { ...sound, measures: [{ ...one, choices: [{ ...plain, busyness: 0.5 }] }, two] },
    ],
    ['a negative capacity', { ...sound, capacity: -1 }],
    ['a join cost that is no number', { ...sound, joinCost: () => Number.NaN }],
    ['a form with an unknown measure', { ...sound, form: [M('three')] }],
  ])('%s', (_, wrong) => expect(() => planPasses(wrong)).toThrow(RangeError));
});
