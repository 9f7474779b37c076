import fc from 'fast-check';
import { expect, test } from 'vitest';
import { columnsOf } from '../../../lib/passes/columns';
import { costOf } from '../../../lib/passes/cost';
import { lockedCells } from '../../../lib/passes/locks';
import type { Model } from '../../../lib/passes/model';
import { modelOf } from '../../../lib/passes/model';
import { pricerOf } from '../../../lib/passes/pricer';
import { startingOrder } from '../../../lib/passes/start';
import { applySwap, stateOf } from '../../../lib/passes/state';
import { bestSwap } from '../../../lib/passes/swap';
import { randomRequest } from '../../kit/plan-requests';

const models = fc
  .record({
    seed: fc.integer({ min: 1, max: 10_000 }),
    measures: fc.integer({ min: 1, max: 9 }),
    passes: fc.integer({ min: 2, max: 9 }),
    people: fc.integer({ min: 1, max: 8 }),
    variants: fc.integer({ min: 1, max: 4 }),
    repeated: fc.boolean(),
    plainFirst: fc.boolean(),
    locks: fc.integer({ min: 0, max: 6 }),
  })
  .map(({ seed, ...size }): Model => {
    const request = randomRequest(seed, size);
    const { locked } = lockedCells(request);
    return modelOf(request, columnsOf(request, locked), locked.plainPasses);
  });

const pairs = (model: Model) =>
  Array.from({ length: model.passes }, (_, p) => p).flatMap((p) =>
    Array.from({ length: model.passes - p - 1 }, (_, i) => [p, p + 1 + i] as const),
  );

/** The cheapest of all swaps of neighbouring free measures between two passes, each priced by counting the whole order anew. */
function cheapestByCounting(model: Model, order: Int32Array, p: number, q: number): number {
  let least = 0;
  for (let from = 0; from < model.measures; from += 1) {
    const swapped = order.slice();
    for (let m = from; m < model.measures; m += 1) {
      const [a, b] = [p * model.measures + m, q * model.measures + m];
      if ((model.fixed[a] ?? -1) >= 0 || (model.fixed[b] ?? -1) >= 0) break;
      [swapped[a], swapped[b]] = [swapped[b] ?? 0, swapped[a] ?? 0];
      const { repeats, cost } = stateOf(model, swapped);
      if (repeats === stateOf(model, order).repeats)
        least = Math.min(least, cost - costOf(model, order));
      else if (repeats < stateOf(model, order).repeats) return Number.NEGATIVE_INFINITY;
    }
  }
  return least;
}

test('[P16] a swap is priced as counting the order anew prices it, and the best one is found', () =>
  fc.assert(
    fc.property(models, (model) => {
      const state = stateOf(model, startingOrder(model));
      const pricer = pricerOf(state);
      for (const [p, q] of pairs(model)) {
        const least = cheapestByCounting(model, state.order, p, q);
        const swap = bestSwap(pricer, p, q, true);
        if (Number.isFinite(least)) expect(swap?.delta ?? 0).toBe(least);
        else expect(swap?.repeats).toBeLessThan(state.repeats);
        if (!swap) continue;
        applySwap(state, swap);
        expect(state).toEqual(stateOf(model, state.order));
      }
    }),
    { seed: 1, numRuns: 40 },
  ));
