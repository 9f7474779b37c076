import { cheapestAssignment } from './assign';
import type { Order } from './cost';
import type { Edge, Model } from './model';

/** The edge from measure m - 1 to measure m of the same pass, if the tune ever goes that way. */
function chainEdge(model: Model, m: number): Edge | undefined {
  return model.edges.find(({ from, to, step }) => step === 0 && from === m - 1 && to === m);
}

/** The seats of a measure that are still to be placed, as choices, the calmest first. */
function seatsToPlace(
  { first, counts, busyness, fixed, measures }: Model,
  order: Order,
  m: number,
) {
  const left = counts.slice(first[m], first[m + 1]);
  const start = first[m] ?? 0;
  for (let cell = m; cell < order.length; cell += measures) {
    const at = (order[cell] ?? -1) - start;
    if (at >= 0 && (fixed[cell] ?? -1) < 0) left[at] = (left[at] ?? 0) - 1;
  }
  const seats: number[] = [];
  for (const [at, count] of left.entries())
    for (let i = 0; i < count; i += 1) seats.push(start + at);
  return seats.sort((a, b) => (busyness[a] ?? 0) - (busyness[b] ?? 0) || a - b);
}

/** Puts the seats of measure m that are left into its passes that are empty so that they join measure m - 1 as cheaply as can be. */
function placeColumn(model: Model, order: Order, m: number): void {
  const { measures, first, busyness } = model;
  const edge = chainEdge(model, m);
  const seats = seatsToPlace(model, order, m);
  const free = Array.from({ length: model.passes }, (_, p) => p).filter(
    (p) => (order[p * measures + m] ?? -1) < 0,
  );
  const width = (first[m + 1] ?? 0) - (first[m] ?? 0);
  const mostNotes = 1 + Math.max(0, ...seats.map((seat) => busyness[seat] ?? 0));
  const costs = new Float64Array(seats.length ** 2);
  for (const [i, pass] of free.entries())
    for (const [j, seat] of seats.entries()) {
      const before = (order[pass * measures + m - 1] ?? 0) - (first[m - 1] ?? 0);
      const join = edge?.costs[before * width + seat - (first[m] ?? 0)] ?? 0;
      // Among equally cheap joins the busier seat comes later; this part stays below one point.
      const calm = (i * (mostNotes - (busyness[seat] ?? 0))) / (2 * mostNotes * model.passes ** 2);
      costs[i * seats.length + j] = join + calm;
    }
  const { columnOf } = cheapestAssignment(costs, seats.length);
  for (const [i, pass] of free.entries()) order[pass * measures + m] = seats[columnOf[i] ?? 0] ?? 0;
}

/**
 * An order to begin with: every lock respected, every seat placed, each measure joined to the one before as cheaply as can be, busier
 * seats later where that costs nothing.
 * @param begun cells that are placed already (-1 for the others); the fixed ones unless given
 */
export function startingOrder(model: Model, begun: Order = model.fixed): Order {
  const order = begun.slice();
  for (let m = 0; m < model.measures; m += 1) placeColumn(model, order, m);
  return order;
}
