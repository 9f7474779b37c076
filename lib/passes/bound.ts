import { cheapestAssignment } from './assign';
import type { Path } from './cheapest-path';
import { cheapestPath } from './cheapest-path';
import { passSum } from './cost';
import type { Model } from './model';
import type { Frame, Prices } from './relaxation';
import { frameOf, noPrices, sizeAt } from './relaxation';

/** The seats of a measure in all passes, fixed ones and all, as choices in order. */
function allSeats({ model, plays }: Frame, m: number): number[] {
  const seats: number[] = [];
  for (let c = model.first[m] ?? 0; c < (model.first[m + 1] ?? 0); c += 1)
    for (let i = 0; i < (plays[c] ?? 0); i += 1) seats.push(c);
  return seats;
}

/**
 * Prices at which joins along the path are paid for exactly as if each measure could be joined to the next on its own: a good place to begin.
 */
function joinPrices(frame: Frame): Prices {
  const prices = noPrices(frame);
  const { model } = frame;
  for (const edge of frame.into.slice(1)) {
    if (!edge) continue;
    const [rows, columns] = [allSeats(frame, edge.from), allSeats(frame, edge.to)];
    const width = sizeAt(model, edge.to);
    const costs = Float64Array.from(
      rows.flatMap((a) =>
        columns.map((b) => {
          const row = a - (model.first[edge.from] ?? 0);
          return edge.costs[row * width + b - (model.first[edge.to] ?? 0)] ?? 0;
        }),
      ),
    );
    const { rowPrices, columnPrices } = cheapestAssignment(costs, rows.length);
    const pay = (seats: readonly number[], paid: Float64Array) => {
      for (const [i, choice] of seats.entries())
        prices.seat[choice] =
          (prices.seat[choice] ?? 0) - (paid[i] ?? 0) / (frame.plays[choice] ?? 1);
    };
    pay(rows, rowPrices);
    pay(columns, columnPrices);
  }
  return prices;
}

/** How far the path goes against each rule that the prices stand for: the way in which to move them. */
function offences(frame: Frame, path: Path): Prices {
  const { model, plays } = frame;
  const { passes, measures } = model;
  const off = noPrices(frame);
  const notes = Array.from({ length: passes }, (_, p) =>
    passSum(model, path.order, p, model.busyness),
  );
  for (const [c, count] of plays.entries()) off.seat[c] = -count;
  for (let g = 0; g < model.groups.length; g += 1)
    off.early.fill(1, g * passes, (g + 1) * passes - 1);
  for (const [cell, c] of path.order.entries()) {
    off.seat[c] = (off.seat[c] ?? 0) + 1;
    for (const g of model.groupsOf[c] ?? [])
      for (let p = Math.floor(cell / measures); p < passes - 1; p += 1)
        off.early[g * passes + p] = (off.early[g * passes + p] ?? 0) - 1;
  }
  for (const [r, [before, after]] of model.rises.entries())
    off.rise[r] = model.riseStep + (notes[before] ?? 0) - (notes[after] ?? 0);
  if (model.strong) off.strong[0] = model.strong.notes - (notes[model.strong.pass] ?? 0);
  for (let p = 0; p < passes; p += 1)
    off.over[p] = passSum(model, path.order, p, model.load) - model.capacity;
  for (const [i, { edge, pass, fromAt, toAt }] of frame.crossings.entries()) {
    const [crossFrom, crossTo] = path.crossAt[i] ?? [0, 0];
    const put = (at: number, m: number, choice: number, by: number) => {
      const place = at + choice - (model.first[m] ?? 0);
      off.cross[place] = (off.cross[place] ?? 0) + by;
    };
    put(fromAt, edge.from, path.order[pass * measures + edge.from] ?? 0, 1);
    put(fromAt, edge.from, crossFrom, -1);
    put(toAt, edge.to, path.order[(pass + edge.step) * measures + edge.to] ?? 0, 1);
    put(toAt, edge.to, crossTo, -1);
  }
  return off;
}

/**
 * How much a new path counts among those before; how many rounds without gain shorten the step, and by how much; how many times that goes on
 * until the prices go back to the best ones (they may have to get worse for a while to get better). Found by trying on random boards.
 */
const NEW_PART = 0.35;
const PATIENCE = 3;
const SHORTER = 0.8;
const LOST = 12;
const LEAST_REACH = 1e-3;

const KINDS = ['seat', 'rise', 'strong', 'over', 'early', 'cross'] as const;

/** How high each price may go; those of seats and crossings may be anything, the others are not below 0. */
function ceilingsOf(frame: Frame): Prices {
  const { model } = frame;
  const most = noPrices(frame);
  most.seat.fill(Number.POSITIVE_INFINITY);
  most.cross.fill(Number.POSITIVE_INFINITY);
  most.rise.fill(model.weights.rise);
  most.strong.fill(model.weights.strong);
  most.over.fill(model.weights.overload);
  for (const [g, { weight }] of model.groups.entries())
    most.early.fill(weight, g * model.passes, (g + 1) * model.passes - 1);
  return most;
}

function movedPart(price: Float64Array, way: Float64Array, most: Float64Array, step: number) {
  const next = new Float64Array(price.length);
  for (let i = 0; i < next.length; i += 1) {
    const to = (price[i] ?? 0) + step * (way[i] ?? 0);
    const top = most[i] ?? 0;
    next[i] = top === Number.POSITIVE_INFINITY ? to : Math.min(top, Math.max(0, to));
  }
  return next;
}

function moved(prices: Prices, way: Prices, most: Prices, step: number): Prices {
  return {
    seat: movedPart(prices.seat, way.seat, most.seat, step),
    rise: movedPart(prices.rise, way.rise, most.rise, step),
    strong: movedPart(prices.strong, way.strong, most.strong, step),
    over: movedPart(prices.over, way.over, most.over, step),
    early: movedPart(prices.early, way.early, most.early, step),
    cross: movedPart(prices.cross, way.cross, most.cross, step),
  };
}

/** Turns `way` towards the offences of the newest path, which count for NEW_PART. */
function turn(way: Prices, now: Prices): void {
  for (const kind of KINDS) {
    const [old, fresh] = [way[kind], now[kind]];
    for (let i = 0; i < old.length; i += 1)
      old[i] = NEW_PART * (fresh[i] ?? 0) + (1 - NEW_PART) * (old[i] ?? 0);
  }
}

/** Offences against a price that cannot go further that way do not count. */
function lengthOf(prices: Prices, way: Prices, most: Prices): number {
  let sum = 0;
  for (const kind of KINDS) {
    const [price, off, top] = [prices[kind], way[kind], most[kind]];
    for (let i = 0; i < off.length; i += 1) {
      const [by, at, end] = [off[i] ?? 0, price[i] ?? 0, top[i] ?? 0];
      const isFree = end === Number.POSITIVE_INFINITY;
      if (isFree || (by < 0 ? at > 0 : at < end)) sum += by * by;
    }
  }
  return sum;
}

/** A bound on every order, with the path and prices that prove it. */
export interface Bound {
  readonly frame: Frame;
  readonly prices: Prices;
  readonly path: Path;
}

/** The least whole number of points that an order can cost by this bound. */
export function wholeBound({ path }: Bound): number {
  return Math.max(0, Math.ceil(path.bound - 1e-6));
}

/** How far the first step goes, as a part of Polyak's: all the way, but with prices that were good before only so far. */
const FIRST_REACH = 1;
const WARM_REACH = 0.2;

/**
 * Better and better bounds, one a round; the best so far is yielded after each. It stops when the bound meets the cost, when nothing moves
 * any more, or after `rounds`.
 * @param warm makes prices to begin with, if it can
 * Source: Lagrangian relaxation by averaged subgradients with steps after Polyak 1969 (Held, Wolfe, Crowder 1974), from memory; checked
 * against integer programmes in tests/reference/passes/order.test.ts
 */
export function* bounds(
  model: Model,
  cost: () => number,
  rounds: number,
  warm: (frame: Frame) => Prices | undefined = () => undefined,
): Generator<Bound, void> {
  const frame = frameOf(model);
  const most = ceilingsOf(frame);
  const known = warm(frame);
  let prices = known ?? joinPrices(frame);
  let path = cheapestPath(frame, prices);
  let best: Bound = { frame, prices, path };
  const way = offences(frame, path);
  let [reach, idle, lost] = [known ? WARM_REACH : FIRST_REACH, 0, 0];
  yield best;
  for (let round = 1; round < rounds && reach > LEAST_REACH; round += 1) {
    if (wholeBound(best) >= cost()) return;
    const length = lengthOf(prices, way, most);
    if (length === 0) return;
    const step = (reach * Math.max(1, cost() - path.bound)) / length;
    prices = moved(prices, way, most, step);
    path = cheapestPath(frame, prices);
    turn(way, offences(frame, path));
    if (path.bound > best.path.bound + 1e-9) {
      lost = 0;
      best = { frame, prices, path };
      idle = 0;
    } else idle += 1;
    if (idle >= PATIENCE) {
      reach *= SHORTER;
      idle = 0;
      lost += 1;
      if (lost >= LOST) {
        prices = best.prices;
        path = best.path;
        lost = 0;
      }
    }
    yield best;
  }
}
