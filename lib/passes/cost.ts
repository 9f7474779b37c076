import type { Model } from './model';

/** What an order costs, part by part, in weighted points. */
export interface CostParts {
  readonly joins: number;
  readonly rise: number;
  readonly strong: number;
  readonly safe: number;
  readonly overload: number;
  /** Families and proposers that are heard late. */
  readonly early: number;
}

/** An order: for each cell (see `Model`) the choice that is played. */
export type Order = Int32Array;

/** The sum of a number of each choice over one pass. */
export function passSum(model: Model, order: Order, pass: number, of: Float64Array): number {
  let sum = 0;
  for (let m = 0; m < model.measures; m += 1) sum += of[order[pass * model.measures + m] ?? 0] ?? 0;
  return sum;
}

function joinsOf({ edges, first, measures, passes }: Model, order: Order): number {
  let sum = 0;
  for (const { from, to, step, costs } of edges) {
    const width = (first[to + 1] ?? 0) - (first[to] ?? 0);
    for (let p = 0; p + step < passes; p += 1) {
      const a = (order[p * measures + from] ?? 0) - (first[from] ?? 0);
      const b = (order[(p + step) * measures + to] ?? 0) - (first[to] ?? 0);
      sum += costs[a * width + b] ?? 0;
    }
  }
  return sum;
}

function earlyOf({ groups, groupsOf, measures }: Model, order: Order): number {
  const firstHeard = new Map<number, number>();
  for (const [cell, choice] of order.entries())
    for (const group of groupsOf[choice] ?? [])
      if (!firstHeard.has(group)) firstHeard.set(group, Math.floor(cell / measures));
  let sum = 0;
  for (const [group, pass] of firstHeard) sum += pass * (groups[group]?.weight ?? 0);
  return sum;
}

/** What an order costs. */
export function costParts(model: Model, order: Order): CostParts {
  const { weights, strong, passes } = model;
  const notes = Array.from({ length: passes }, (_, p) => passSum(model, order, p, model.busyness));
  const short = model.rises.map(([before, after]) =>
    Math.max(0, model.riseStep + (notes[before] ?? 0) - (notes[after] ?? 0)),
  );
  const over = notes.map((_, p) =>
    Math.max(0, passSum(model, order, p, model.load) - model.capacity),
  );
  const sum = (values: readonly number[]) => values.reduce((total, value) => total + value, 0);
  return {
    joins: joinsOf(model, order),
    rise: weights.rise * sum(short),
    strong: strong ? weights.strong * Math.max(0, strong.notes - (notes[strong.pass] ?? 0)) : 0,
    safe: strong ? weights.safe * passSum(model, order, strong.pass, model.risk) : 0,
    overload: weights.overload * sum(over),
    early: earlyOf(model, order),
  };
}

export function costOf(model: Model, order: Order): number {
  return Object.values(costParts(model, order)).reduce((sum, part) => sum + part, 0);
}

/** Is every cell of a pass fixed? Such a pass cannot be blamed for being like another one. */
export function isSettled({ fixed, measures }: Model, pass: number): boolean {
  return fixed.subarray(pass * measures, (pass + 1) * measures).every((choice) => choice >= 0);
}

function samePass({ measures }: Model, order: Order, a: number, b: number): boolean {
  for (let m = 0; m < measures; m += 1)
    if (order[a * measures + m] !== order[b * measures + m]) return false;
  return true;
}

/** The passes (from 0) that are not settled and are like a settled one or an earlier one. */
export function repeatedPasses(model: Model, order: Order): readonly number[] {
  const all = Array.from({ length: model.passes }, (_, p) => p);
  const settled = all.map((p) => isSettled(model, p));
  return all.filter(
    (p) =>
      !settled[p] &&
      all.some((q) => q !== p && (q < p || settled[q]) && samePass(model, order, p, q)),
  );
}
