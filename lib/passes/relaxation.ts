import type { Edge, Model } from './model';

/**
 * Prices that replace the rules which tie passes together, so that what is left falls into a single path through all cells in playing order
 * (and small questions of two cells each). Whatever the prices, the cheapest path costs no more than the best order.
 */
export interface Prices {
  /** For each choice: paid by every cell that plays it, given back as often as it has seats. */
  readonly seat: Float64Array;
  /** For each pair of `model.rises`, from 0 to the weight of rise. */
  readonly rise: Float64Array;
  /** One number, from 0 to the weight of strength. */
  readonly strong: Float64Array;
  /** For each pass, from 0 to the weight of overload. */
  readonly over: Float64Array;
  /** `group * passes + pass`, from 0 to the group's weight; nothing for the last pass. */
  readonly early: Float64Array;
  /** For each crossing and pass, at both ends: `places.fromAt` and `places.toAt` tell where. */
  readonly cross: Float64Array;
}

/** An edge that the path through all cells does not follow: back to the start of a part, for one. */
export interface Crossing {
  readonly edge: Edge;
  readonly pass: number;
  /** Where the prices of this crossing's choices begin in `Prices.cross`, for either end. */
  readonly fromAt: number;
  readonly toAt: number;
}

/** What stays the same while prices change. */
export interface Frame {
  readonly model: Model;
  readonly choices: number;
  /** The edge into each measure along the path; at 0 the one over from the pass before. */
  readonly into: readonly (Edge | undefined)[];
  readonly crossings: readonly Crossing[];
  /** How often each choice is played, fixed cells and all. */
  readonly plays: Int32Array;
  /** `pass * choices + choice`: may it stand there? */
  readonly open: Uint8Array;
  readonly crossSize: number;
}

export function sizeAt({ first }: Model, m: number): number {
  return (first[m + 1] ?? 0) - (first[m] ?? 0);
}

function openCells(model: Model, choices: number): { open: Uint8Array; plays: Int32Array } {
  const open = new Uint8Array(model.passes * choices);
  const plays = model.counts.slice();
  for (let p = 0; p < model.passes; p += 1)
    for (let m = 0; m < model.measures; m += 1) {
      const fixed = model.fixed[p * model.measures + m] ?? -1;
      if (fixed >= 0) {
        open[p * choices + fixed] = 1;
        plays[fixed] = (plays[fixed] ?? 0) + 1;
      } else
        for (let c = model.first[m] ?? 0; c < (model.first[m + 1] ?? 0); c += 1)
          open[p * choices + c] = (model.counts[c] ?? 0) > 0 ? 1 : 0;
    }
  return { open, plays };
}

export function frameOf(model: Model): Frame {
  const { measures, passes, edges } = model;
  const isInto = ({ from, to, step }: Edge) =>
    step === 0 ? to === from + 1 : from === measures - 1 && to === 0;
  const into = Array.from({ length: measures }, (_, m) =>
    edges.find((edge) => isInto(edge) && edge.to === m),
  );
  const crossings: Crossing[] = [];
  let crossSize = 0;
  for (const edge of edges)
    if (!into.includes(edge))
      for (let pass = 0; pass + edge.step < passes; pass += 1) {
        const fromAt = crossSize;
        const toAt = fromAt + sizeAt(model, edge.from);
        crossSize = toAt + sizeAt(model, edge.to);
        crossings.push({ edge, pass, fromAt, toAt });
      }
  const choices = model.ids.length;
  return { model, choices, into, crossings, crossSize, ...openCells(model, choices) };
}

export function noPrices({ model, choices, crossSize }: Frame): Prices {
  return {
    seat: new Float64Array(choices),
    rise: new Float64Array(model.rises.length),
    strong: new Float64Array(1),
    over: new Float64Array(model.passes),
    early: new Float64Array(model.groups.length * model.passes),
    cross: new Float64Array(crossSize),
  };
}

/** What each choice costs in each pass at these prices, joins left out: `pass * choices + choice`. */
export function cellCosts(frame: Frame, prices: Prices): Float64Array {
  const { model, choices, crossings } = frame;
  const { passes, strong, weights } = model;
  const costs = new Float64Array(passes * choices);
  const perNote = new Float64Array(passes);
  for (const [r, [before, after]] of model.rises.entries()) {
    perNote[before] = (perNote[before] ?? 0) + (prices.rise[r] ?? 0);
    perNote[after] = (perNote[after] ?? 0) - (prices.rise[r] ?? 0);
  }
  if (strong) perNote[strong.pass] = (perNote[strong.pass] ?? 0) - (prices.strong[0] ?? 0);
  const heardFrom = new Float64Array(model.groups.length);
  for (let p = passes - 1; p >= 0; p -= 1) {
    for (let g = 0; g < heardFrom.length; g += 1)
      heardFrom[g] = (heardFrom[g] ?? 0) + (prices.early[g * passes + p] ?? 0);
    for (let c = 0; c < choices; c += 1) {
      let cost =
        (prices.seat[c] ?? 0) +
        (perNote[p] ?? 0) * (model.busyness[c] ?? 0) +
        (prices.over[p] ?? 0) * (model.load[c] ?? 0);
      if (strong?.pass === p) cost += weights.safe * (model.risk[c] ?? 0);
      for (const g of model.groupsOf[c] ?? []) cost -= heardFrom[g] ?? 0;
      costs[p * choices + c] = cost;
    }
  }
  for (const { edge, pass, fromAt, toAt } of crossings) {
    const ends = [
      [edge.from, pass, fromAt],
      [edge.to, pass + edge.step, toAt],
    ] as const;
    for (const [m, p, at] of ends)
      for (let k = 0; k < sizeAt(model, m); k += 1) {
        const cell = p * choices + (model.first[m] ?? 0) + k;
        costs[cell] = (costs[cell] ?? 0) + (prices.cross[at + k] ?? 0);
      }
  }
  return costs;
}

/** What the prices give back whatever is played. */
export function constantOf({ model, choices, plays }: Frame, prices: Prices): number {
  let sum = (model.strong?.notes ?? 0) * (prices.strong[0] ?? 0);
  for (let c = 0; c < choices; c += 1) sum -= (prices.seat[c] ?? 0) * (plays[c] ?? 0);
  for (const price of prices.rise) sum += price * model.riseStep;
  for (const price of prices.over) sum -= price * model.capacity;
  for (const price of prices.early) sum += price;
  return sum;
}
