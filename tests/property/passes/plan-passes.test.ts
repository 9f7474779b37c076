import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { columnsOf } from '../../../lib/passes/columns';
import { costOf, repeatedPasses } from '../../../lib/passes/cost';
import { lockedCells } from '../../../lib/passes/locks';
import { arrangements, EFFORT } from '../../../lib/passes/order';
import type { PassPlan } from '../../../lib/passes/plan-passes';
import { planning, planPasses } from '../../../lib/passes/plan-passes';
import { leastRepeats } from '../../../lib/passes/repeats';
import type { PlanRequest } from '../../../lib/passes/request';
import { randomRequest } from '../../kit/plan-requests';

const RUNS = { seed: 1, numRuns: 80 };

const requests = fc
  .record({
    seed: fc.integer({ min: 1, max: 100_000 }),
    measures: fc.integer({ min: 1, max: 6 }),
    passes: fc.integer({ min: 1, max: 7 }),
    people: fc.integer({ min: 1, max: 8 }),
    variants: fc.integer({ min: 0, max: 4 }),
    rule: fc.constantFrom('approvals' as const, 'phragmen' as const, 'equal-shares' as const),
    carry: fc.boolean(),
    plainFirst: fc.boolean(),
    repeated: fc.boolean(),
    locks: fc.integer({ min: 0, max: 6 }),
  })
  .map(({ seed, ...size }) => randomRequest(seed, size));

function planned(request: PlanRequest, before?: PassPlan): PassPlan {
  const result = planPasses(request, before ? { before } : {});
  if (!result.ok) throw new Error(result.problems.map(({ words }) => words).join(' '));
  return result.value;
}

const sorted = (ids: readonly string[]) => [...ids].sort();

describe('any plan', () => {
  test('[P11] every lock is respected', () =>
    fc.assert(
      fc.property(requests, (request) => {
        const { passes } = planned(request);
        for (const lock of request.locks) {
          const pass = passes[lock.pass - 1];
          if (lock.kind === 'cell') expect(pass?.get(lock.measure)).toBe(lock.choice);
          else expect([...(pass?.values() ?? [])].every((id) => id === 'plain')).toBe(true);
        }
        if (request.plainFirst)
          expect([...(passes[0]?.values() ?? [])].every((id) => id === 'plain')).toBe(true);
      }),
      RUNS,
    ));

  test('[P12] every measure of every pass is filled, with one of its choices that is not hidden', () =>
    fc.assert(
      fc.property(requests, (request) => {
        const { passes } = planned(request);
        expect(passes.length).toBe(request.passes);
        for (const pass of passes)
          for (const { id, choices } of request.measures) {
            const choice = choices.find((one) => one.id === pass.get(id));
            expect(choice !== undefined && !choice.hidden).toBe(true);
          }
      }),
      RUNS,
    ));

  test('[P13] a measure plays what was elected for it, as often, but for what locks displace', () =>
    fc.assert(
      fc.property(requests, (request) => {
        const { passes, columns, plainPasses } = planned(request);
        for (const { measure, elected, fixed } of columns) {
          const played = passes.flatMap((pass, p) =>
            plainPasses.has(p) ? [] : (pass.get(measure.id) ?? []),
          );
          const locked = [...fixed].flatMap(([p, id]) => (plainPasses.has(p) ? [] : [id]));
          const filled =
            elected.length > 0 ? elected.map(({ id }) => id) : played.map(() => 'plain');
          expect(elected.length === 0 || elected.length === played.length).toBe(true);
          if (locked.length === 0) expect(sorted(played)).toEqual(sorted(filled));
          const surplus = played.filter(
            (id, i) =>
              played.slice(0, i + 1).filter((one) => one === id).length >
              filled.filter((one) => one === id).length,
          );
          expect(surplus.every((id) => locked.some((lock) => lock === id))).toBe(true);
        }
      }),
      RUNS,
    ));

  test('[P14] repeats are counted, and never fewer than must be', () =>
    fc.assert(
      fc.property(requests, (request) => {
        const { ordered, model, passes } = planned(request);
        const words = passes.map((pass) => [...pass.values()].join(' '));
        expect(repeatedPasses(model, ordered.order).length).toBe(ordered.repeats);
        expect(ordered.repeats).toBeGreaterThanOrEqual(leastRepeats(model));
        if (request.locks.length === 0)
          expect(ordered.repeats).toBe(words.length - new Set(words).size);
      }),
      RUNS,
    ));

  test('[P16] the parts add up to the cost, and the gap to the bound', () =>
    fc.assert(
      fc.property(requests, (request) => {
        const { ordered, model } = planned(request);
        const { cost, parts, bound, gap, optimal, order } = ordered;
        expect(Object.values(parts).reduce((sum, part) => sum + part, 0)).toBe(cost);
        expect(costOf(model, order)).toBe(cost);
        expect(gap).toBe(cost - bound);
        expect(gap).toBeGreaterThanOrEqual(0);
        if (optimal) expect(gap).toBe(0);
      }),
      RUNS,
    ));

  test('[P15] is proven to be the best where its seats can be laid in few enough ways', () =>
    fc.assert(
      fc.property(requests, (request) => {
        const { ordered, model } = planned(request);
        fc.pre(arrangements(model) <= EFFORT.exactArrangements);
        expect(ordered.optimal).toBe(true);
      }),
      RUNS,
    ));

  test('[P17] the same request gives the same plan', () =>
    fc.assert(
      fc.property(requests, (request) => {
        expect(planned(request).passes).toEqual(planned(request).passes);
      }),
      { seed: 1, numRuns: 20 },
    ));
});

describe('a plan made from the one before', () => {
  const size = { measures: 8, passes: 8, people: 6, variants: 4 };

  test('[P17] is no worse, where nothing has changed', () =>
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1000 }), (seed) => {
        const request = randomRequest(seed, size);
        const before = planned(request);
        const again = planned(request, before);
        expect(again.ordered.repeats).toBeLessThanOrEqual(before.ordered.repeats);
        expect(again.ordered.cost).toBeLessThanOrEqual(before.ordered.cost);
        expect(again.ordered.bound).toBeGreaterThanOrEqual(before.ordered.bound - 1);
      }),
      { seed: 1, numRuns: 10 },
    ));

  test('[P11] [P12] [P13] keeps to locks and seats, whatever the plan before was', () =>
    fc.assert(
      fc.property(requests, requests, (other, request) => {
        const { passes, columns } = planned(request, planned(other));
        for (const [m, { measure, seats, fixed }] of columns.entries()) {
          const played = passes.flatMap((pass) => pass.get(measure.id) ?? []);
          expect(sorted(played)).toEqual(sorted([...seats, ...fixed.values()]));
          expect(request.measures[m]?.id).toBe(measure.id);
          for (const [p, id] of fixed) expect(passes[p]?.get(measure.id)).toBe(id);
        }
      }),
      { seed: 1, numRuns: 40 },
    ));

  test('[P17] is no worse when a lock is set that agrees with it', () => {
    const request = randomRequest(5, size);
    const before = planned(request);
    const measure = request.measures[2]?.id;
    const choice = measure && before.passes[4]?.get(measure);
    if (!measure || !choice) throw new Error('the plan has five passes of three measures');
    const locks = [{ kind: 'cell', pass: 5, measure, choice } as const];
    const after = planned({ ...request, locks }, before);
    expect(after.ordered.cost).toBeLessThanOrEqual(before.ordered.cost);
    expect(after.passes[4]?.get(measure)).toBe(choice);
  });
});

test('[P13] a lock on what was not elected takes the seat that was elected last', () => {
  const request = randomRequest(7, { measures: 3, passes: 5, people: 6, variants: 4 });
  const before = columnsOf(request, lockedCells(request).locked)[1];
  const seats = before?.elected.map(({ id }) => id) ?? [];
  const other = before?.measure.choices.find(({ id, hidden }) => !hidden && !seats.includes(id));
  if (!before || !other) throw new Error('this board should leave a variant without a seat');
  const locks = [{ kind: 'cell', pass: 3, measure: before.measure.id, choice: other.id }] as const;
  const after = columnsOf({ ...request, locks }, lockedCells({ ...request, locks }).locked)[1];
  expect(after?.seats).toEqual(seats.slice(0, -1));
});

test('[P16] progress goes from little to all, and stopping is not going on', () => {
  const steps = planning(randomRequest(3, { measures: 8, passes: 8, people: 8, variants: 4 }));
  const done: number[] = [];
  for (let step = steps.next(); !step.done; step = steps.next()) done.push(step.value.done);
  expect(done.length).toBeGreaterThan(5);
  expect(done).toEqual([...done].sort((a, b) => a - b));
  expect(Math.max(...done)).toBeLessThanOrEqual(1);
});
