import type { Frame, Prices } from './relaxation';
import { cellCosts, constantOf, sizeAt } from './relaxation';

/** The cheapest path through all cells at given prices, and with it a bound on every order. */
export interface Path {
  /** No order costs less than this. */
  readonly bound: number;
  /** For each cell the choice on the path. */
  readonly order: Int32Array;
  /** What each choice costs in its cell: `pass * choices + choice`. */
  readonly costs: Float64Array;
  /** What the path costs from this choice in this cell to the end, its own cost included; infinite where it may not stand. */
  readonly toGo: Float64Array;
  /** For each crossing the least that it costs beside its prices, and where: choices of either end. */
  readonly crossLeast: Float64Array;
  readonly crossAt: readonly (readonly [number, number])[];
}

/** Fills `toGo` and `next` for the cell of pass p and measure m from the cell after it. */
function stepBack(
  frame: Frame,
  costs: Float64Array,
  toGo: Float64Array,
  next: Int32Array,
  p: number,
  m: number,
): void {
  const { model, choices, open } = frame;
  const isLast = p === model.passes - 1 && m === model.measures - 1;
  const [np, nm] = m + 1 < model.measures ? [p, m + 1] : [p + 1, 0];
  const joins = isLast ? undefined : frame.into[nm]?.costs;
  const nFirst = model.first[nm] ?? 0;
  const after = np * choices + nFirst;
  const width = isLast ? 0 : sizeAt(model, nm);
  const first = model.first[m] ?? 0;
  for (let k = 0; k < sizeAt(model, m); k += 1) {
    const cell = p * choices + first + k;
    if (!open[cell]) {
      toGo[cell] = Number.POSITIVE_INFINITY;
      continue;
    }
    let least = isLast ? 0 : Number.POSITIVE_INFINITY;
    let at = 0;
    for (let j = 0; j < width; j += 1) {
      const cost = (toGo[after + j] ?? 0) + (joins ? (joins[k * width + j] ?? 0) : 0);
      if (cost < least) {
        least = cost;
        at = j;
      }
    }
    next[cell] = nFirst + at;
    toGo[cell] = least + (costs[cell] ?? 0);
  }
}

function leastCrossings(frame: Frame, prices: Prices) {
  const { model, choices, open } = frame;
  const least = new Float64Array(frame.crossings.length).fill(Number.POSITIVE_INFINITY);
  const at = frame.crossings.map(({ edge, pass, fromAt, toAt }, i): [number, number] => {
    const [a, b] = [model.first[edge.from] ?? 0, model.first[edge.to] ?? 0];
    const width = sizeAt(model, edge.to);
    const best: [number, number] = [a, b];
    for (let k = 0; k < sizeAt(model, edge.from); k += 1) {
      if (!open[pass * choices + a + k]) continue;
      for (let j = 0; j < width; j += 1) {
        if (!open[(pass + edge.step) * choices + b + j]) continue;
        const cost =
          (edge.costs[k * width + j] ?? 0) -
          (prices.cross[fromAt + k] ?? 0) -
          (prices.cross[toAt + j] ?? 0);
        if (cost < (least[i] ?? 0)) {
          least[i] = cost;
          best[0] = a + k;
          best[1] = b + j;
        }
      }
    }
    return best;
  });
  return { least, at };
}

/** Cost: passes * measures * (choices of a measure)^2. */
export function cheapestPath(frame: Frame, prices: Prices): Path {
  const { model, choices } = frame;
  const { passes, measures } = model;
  const costs = cellCosts(frame, prices);
  const toGo = new Float64Array(costs.length);
  const next = new Int32Array(costs.length);
  for (let p = passes - 1; p >= 0; p -= 1)
    for (let m = measures - 1; m >= 0; m -= 1) stepBack(frame, costs, toGo, next, p, m);
  let start = 0;
  for (let c = 1; c < (model.first[1] ?? 0); c += 1)
    if ((toGo[c] ?? 0) < (toGo[start] ?? 0)) start = c;
  const order = new Int32Array(passes * measures);
  let choice = start;
  for (let cell = 0; cell < order.length; cell += 1) {
    order[cell] = choice;
    choice = next[Math.floor(cell / measures) * choices + choice] ?? 0;
  }
  const { least, at } = leastCrossings(frame, prices);
  const crossed = least.reduce((sum, cost) => sum + cost, 0);
  const bound = constantOf(frame, prices) + (toGo[start] ?? 0) + crossed;
  return { bound, order, costs, toGo, crossLeast: least, crossAt: at };
}
