import type { Bound } from './bound';
import { bounds, wholeBound } from './bound';
import type { CostParts, Order } from './cost';
import { costParts } from './cost';
import { improvements } from './improve';
import type { Model } from './model';
import { proofs } from './prove';
import type { Frame } from './relaxation';
import { leastRepeats } from './repeats';
import { startingOrder } from './start';
import { stateOf } from './state';
import { pricesFrom } from './warm';

/** An order of passes with what it costs, and how far from the best it can be at most. */
export interface Ordered {
  readonly order: Order;
  /** In points; the sum of `parts`. */
  readonly cost: number;
  readonly parts: CostParts;
  /** How many passes repeat another one. */
  readonly repeats: number;
  /** No order with as few repeats costs less than this. */
  readonly bound: number;
  /** `cost - bound`, in whole points; 0 where the order is the best. */
  readonly gap: number;
  /** What proves the bound; kept for the next plan. */
  readonly proof: Bound;
  /** Is it proven that no order is better (fewer repeats, or as few and less cost)? */
  readonly optimal: boolean;
}

/** How far the work has come: done of 1, and what it is at. */
export interface Progress {
  readonly done: number;
  readonly stage: 'improving' | 'bounding' | 'proving';
}

/**
 * How much work is put in: counts, not times, so that the outcome is the same on every machine. Small boards get more rounds than large ones for the
 * same work.
 */
export interface Effort {
  /** Rounds of improving, each taken as `passes * measures^2`, but at least and at most so many. */
  readonly improveWork: number;
  readonly improveRounds: readonly [least: number, most: number];
  /** Rounds of bounding, each taken as `passes * measures`. */
  readonly boundWork: number;
  readonly boundRounds: readonly [least: number, most: number];
  /** Up to so many ways of laying the seats the search for proof is never given up; */
  readonly exactArrangements: number;
  /** above, after this much work, each step taken as `passes * measures`. */
  readonly proofWork: number;
}

/** Chosen so that 32 measures by 20 passes stay within 300 ms: tests/bench/passes.bench.ts */
export const EFFORT: Effort = {
  improveWork: 160_000,
  improveRounds: [8, 60],
  boundWork: 128_000,
  boundRounds: [40, 600],
  exactArrangements: 100_000,
  proofWork: 2_500_000,
};

/** For a plan that is made from one before: within 100 ms. */
export const EFFORT_AGAIN: Effort = {
  ...EFFORT,
  improveWork: 40_000,
  improveRounds: [2, 30],
  boundWork: 13_000,
  boundRounds: [10, 300],
  proofWork: 600_000,
};

function roundsOf(work: number, each: number, [least, most]: readonly [number, number]): number {
  return Math.min(most, Math.max(least, Math.round(work / each)));
}

/** What is known from a plan before: cells that are placed already (-1 for the others), and the proof of its bound. */
export interface Known {
  readonly begun: Order;
  /** Only a plan that was made here has one; a published one is but its passes. */
  readonly proof?: Bound;
}

const NODES_A_STEP = 5000;

/** In how many ways the seats can be laid: for each measure a multinomial, multiplied. Infinity where it is beyond numbers. */
export function arrangements({ counts, first, measures }: Model): number {
  let ways = 1;
  for (let m = 0; m < measures; m += 1) {
    let placed = 0;
    for (const count of counts.subarray(first[m], first[m + 1]))
      for (let i = 1; i <= count; i += 1) {
        placed += 1;
        ways *= placed / i;
      }
  }
  return Math.round(ways);
}

/**
 * The best order of the passes that can be found with the given effort: first as few repeated passes as possible, then least cost (see
 * weights.ts). Boards of up to `exactArrangements` ways are always solved to the end; for others the answer says how far from the best it can be.
 * A generator, so that the caller can show progress and stop by not going on.
 */
export function* orderings(
  model: Model,
  effort: Effort,
  known?: Known,
): Generator<Progress, Ordered, void> {
  const fewest = leastRepeats(model);
  const cells = model.passes * model.measures;
  const rounds = roundsOf(effort.improveWork, cells * model.measures, effort.improveRounds);
  const boundRounds = roundsOf(effort.boundWork, cells, effort.boundRounds);
  const start = stateOf(model, startingOrder(model, known?.begun));
  const better = improvements(start, rounds, fewest);
  let state = better.next().value ?? start;
  const isBest = (bound: Bound) => state.repeats <= fewest && wholeBound(bound) >= state.cost;
  yield { done: 0.1, stage: 'improving' };
  const warm = (frame: Frame) => (known?.proof ? pricesFrom(frame, known.proof) : undefined);
  let bound: Bound | undefined;
  let round = 0;
  for (const found of bounds(model, () => state.cost, boundRounds, warm)) {
    bound = found;
    round += 1;
    if (round % 10 === 0) yield { done: 0.1 + (0.4 * round) / boundRounds, stage: 'bounding' };
  }
  if (!bound) throw new RangeError('a bound takes at least one round');
  round = 0;
  for (const found of better) {
    state = found;
    if (isBest(bound)) break;
    round += 1;
    yield { done: 0.5 + (0.4 * round) / rounds, stage: 'improving' };
  }
  let best = { order: state.order, cost: state.cost, repeats: state.repeats, done: isBest(bound) };
  if (!best.done) {
    const nodes =
      arrangements(model) <= effort.exactArrangements
        ? Number.POSITIVE_INFINITY
        : Math.ceil(effort.proofWork / cells);
    for (const proof of proofs(bound, best, fewest, nodes, NODES_A_STEP)) {
      best = proof;
      yield { done: 0.9 + 0.1 * Math.min(1, proof.nodes / nodes), stage: 'proving' };
    }
  }
  const least = best.done ? best.cost : Math.min(best.cost, wholeBound(bound));
  return {
    order: best.order,
    cost: best.cost,
    parts: costParts(model, best.order),
    repeats: best.repeats,
    bound: least,
    gap: best.cost - least,
    proof: bound,
    optimal: best.done,
  };
}
