import { cheapestAssignment } from './assign';
import type { Order } from './cost';
import type { Edge, Model } from './model';

/** The edge from measure m - 1 to measure m of the same pass, if the tune ever goes that way. */
export function chainEdge(model: Model, m: number): Edge | undefined {
  return model.edges.find(({ from, to, step }) => step === 0 && from === m - 1 && to === m);
}

/** The choices that the free cells of a measure hold between them, the calmest first. */
function freeSeats({ first, counts, busyness }: Model, m: number): number[] {
  const seats: number[] = [];
  for (let choice = first[m] ?? 0; choice < (first[m + 1] ?? 0); choice += 1)
    for (let i = 0; i < (counts[choice] ?? 0); i += 1) seats.push(choice);
  return seats.sort((a, b) => (busyness[a] ?? 0) - (busyness[b] ?? 0) || a - b);
}

/** Puts the free seats of measure m into its free passes so that they join measure m - 1 as cheaply as can be. */
function placeColumn(model: Model, order: Order, m: number): void {
  const { measures, first, busyness } = model;
  const edge = chainEdge(model, m);
  const seats = freeSeats(model, m);
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
 */
export function startingOrder(model: Model): Order {
  const order = model.fixed.slice();
  for (let m = 0; m < model.measures; m += 1) placeColumn(model, order, m);
  return order;
}
