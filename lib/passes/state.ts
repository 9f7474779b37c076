import type { Order } from './cost';
import { costOf, isSettled, passSum, repeatedPasses } from './cost';
import type { Model } from './model';

/** An order that is being improved, with the sums that pricing a swap needs. `swap` keeps them true. */
export interface State {
  readonly model: Model;
  readonly order: Order;
  /** Notes and load of each pass. */
  readonly notes: Float64Array;
  readonly load: Float64Array;
  /** How many cells of a pass belong to a group: `group * passes + pass`. */
  readonly heard: Int32Array;
  /** The pass in which each group is first heard. */
  readonly firstHeard: Int32Array;
  /** A number for each pass that is the same for passes that are the same. */
  readonly marks: Int32Array;
  readonly settled: readonly boolean[];
  cost: number;
  repeats: number;
}

/** Knuth's multiplicative mixing, so that sums of marks of different passes are hardly ever the same. */
export function markOf(choice: number): number {
  const mixed = Math.imul(choice + 1, 0x9e3779b1);
  return Math.imul(mixed ^ (mixed >>> 15), 0x85ebca6b);
}

function firstHeardFrom(state: State, group: number, from: number): number {
  const { passes } = state.model;
  let pass = from;
  while (pass < passes && (state.heard[group * passes + pass] ?? 0) === 0) pass += 1;
  return pass;
}

export function stateOf(model: Model, order: Order): State {
  const { passes, measures, groups, groupsOf } = model;
  const all = Array.from({ length: passes }, (_, p) => p);
  const state: State = {
    model,
    order: order.slice(),
    notes: Float64Array.from(all, (p) => passSum(model, order, p, model.busyness)),
    load: Float64Array.from(all, (p) => passSum(model, order, p, model.load)),
    heard: new Int32Array(groups.length * passes),
    firstHeard: new Int32Array(groups.length),
    marks: new Int32Array(passes),
    settled: all.map((p) => isSettled(model, p)),
    cost: costOf(model, order),
    repeats: repeatedPasses(model, order).length,
  };
  for (const [cell, choice] of order.entries()) {
    const pass = Math.floor(cell / measures);
    state.marks[pass] = ((state.marks[pass] ?? 0) + markOf(choice)) | 0;
    for (const group of groupsOf[choice] ?? []) {
      const at = group * passes + pass;
      state.heard[at] = (state.heard[at] ?? 0) + 1;
    }
  }
  for (let g = 0; g < groups.length; g += 1) state.firstHeard[g] = firstHeardFrom(state, g, 0);
  return state;
}

/** A swap of the measures `from` to `to` between two passes, and what it changes. */
export interface Swap {
  readonly p: number;
  readonly q: number;
  readonly from: number;
  readonly to: number;
  readonly delta: number;
  /** How many passes repeat another one afterwards. */
  readonly repeats: number;
}

function moveCell(state: State, pass: number, before: number, after: number): void {
  const { model, notes, load, marks, heard } = state;
  notes[pass] = (notes[pass] ?? 0) + (model.busyness[after] ?? 0) - (model.busyness[before] ?? 0);
  load[pass] = (load[pass] ?? 0) + (model.load[after] ?? 0) - (model.load[before] ?? 0);
  marks[pass] = ((marks[pass] ?? 0) + markOf(after) - markOf(before)) | 0;
  for (const group of model.groupsOf[before] ?? []) {
    const at = group * model.passes + pass;
    heard[at] = (heard[at] ?? 0) - 1;
  }
  for (const group of model.groupsOf[after] ?? []) {
    const at = group * model.passes + pass;
    heard[at] = (heard[at] ?? 0) + 1;
  }
}

/** Makes a swap. */
export function applySwap(state: State, { p, q, from, to, delta, repeats }: Swap): void {
  const { model, order } = state;
  const touched = new Set<number>();
  for (let m = from; m <= to; m += 1) {
    const [a, b] = [p * model.measures + m, q * model.measures + m];
    const [one, other] = [order[a] ?? 0, order[b] ?? 0];
    if (one === other) continue;
    order[a] = other;
    order[b] = one;
    moveCell(state, p, one, other);
    moveCell(state, q, other, one);
    for (const group of model.groupsOf[one] ?? []) touched.add(group);
    for (const group of model.groupsOf[other] ?? []) touched.add(group);
  }
  for (const group of touched) state.firstHeard[group] = firstHeardFrom(state, group, 0);
  state.cost += delta;
  state.repeats = repeats;
}

/** How many passes repeat another one, by their marks: as `repeatedPasses`, but a chance likeness of marks counts too. */
export function repeatsByMarks(marks: Int32Array, settled: readonly boolean[]): number {
  let count = 0;
  for (let p = 0; p < marks.length; p += 1) {
    if (settled[p]) continue;
    for (let q = 0; q < marks.length; q += 1)
      if (marks[p] === marks[q] && q !== p && (q < p || settled[q])) {
        count += 1;
        break;
      }
  }
  return count;
}
