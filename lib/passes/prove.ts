import type { Bound } from './bound';
import type { Order } from './cost';
import { costOf, isSettled } from './cost';
import type { Model } from './model';
import type { Crossing, Frame, Prices } from './relaxation';
import { sizeAt } from './relaxation';

/** The best order known, and how many steps the search for a better one has taken. */
export interface Proof {
  readonly order: Order;
  readonly cost: number;
  readonly repeats: number;
  readonly nodes: number;
  /** Has everything else been ruled out? */
  readonly done: boolean;
}

/** A search that lays cells one after the other in playing order; arrays by depth say how things stood before that cell. */
interface Search {
  readonly bound: Bound;
  readonly base: number;
  readonly order: Order;
  readonly left: Int32Array;
  /** Cost at the bound's prices of the cells laid. */
  readonly laid: Float64Array;
  /** How much more than the prices say the rules already cost. */
  readonly slack: Float64Array;
  readonly repeats: Int32Array;
  /** How many cells of each group were laid through each pass: `pass * groups + group`. */
  readonly heard: Int32Array;
  readonly notes: Float64Array;
  readonly load: Float64Array;
  readonly settled: readonly boolean[];
  readonly crossingsAt: ReadonlyMap<number, readonly number[]>;
  readonly todo: number[][];
}

function crossingsByLaterCell({ crossings, model }: Frame): ReadonlyMap<number, number[]> {
  const at = new Map<number, number[]>();
  for (const [i, { edge, pass }] of crossings.entries()) {
    const later = Math.max(
      pass * model.measures + edge.from,
      (pass + edge.step) * model.measures + edge.to,
    );
    at.set(later, [...(at.get(later) ?? []), i]);
  }
  return at;
}

function searchOf(bound: Bound): Search {
  const { model } = bound.frame;
  const cells = model.passes * model.measures;
  const start = model.first[1] ?? 0;
  return {
    bound,
    base: bound.path.bound - Math.min(...bound.path.toGo.subarray(0, start)),
    order: new Int32Array(cells),
    left: model.counts.slice(),
    laid: new Float64Array(cells + 1),
    slack: new Float64Array(cells + 1),
    repeats: new Int32Array(cells + 1),
    heard: new Int32Array(model.passes * model.groups.length),
    notes: new Float64Array(model.passes),
    load: new Float64Array(model.passes),
    settled: Array.from({ length: model.passes }, (_, p) => isSettled(model, p)),
    crossingsAt: crossingsByLaterCell(bound.frame),
    todo: [],
  };
}

function crossingSlack({ bound, order }: Search, i: number): number {
  const { frame, prices, path } = bound;
  const { model } = frame;
  const crossing: Crossing | undefined = frame.crossings[i];
  if (!crossing) return 0;
  const { edge, pass, fromAt, toAt } = crossing;
  const a = (order[pass * model.measures + edge.from] ?? 0) - (model.first[edge.from] ?? 0);
  const b =
    (order[(pass + edge.step) * model.measures + edge.to] ?? 0) - (model.first[edge.to] ?? 0);
  return (
    (edge.costs[a * sizeAt(model, edge.to) + b] ?? 0) -
    (prices.cross[fromAt + a] ?? 0) -
    (prices.cross[toAt + b] ?? 0) -
    (path.crossLeast[i] ?? 0)
  );
}

/** What a rule "w for each point of x above 0" costs beyond what its price says. */
function beyond(weight: number, price: number, x: number): number {
  return weight * Math.max(0, x) - price * x;
}

function earlySlack(search: Search, prices: Prices, model: Model, p: number): number {
  const { heard } = search;
  let slack = 0;
  for (let g = 0; g < model.groups.length; g += 1) {
    const unheard = 1 - (heard[p * model.groups.length + g] ?? 0);
    slack += beyond(model.groups[g]?.weight ?? 0, prices.early[g * model.passes + p] ?? 0, unheard);
  }
  return slack;
}

/** Sums up pass p, which has just been laid, and answers what its rules cost beyond their prices. */
function passSlack(search: Search, p: number): number {
  const { bound, order, heard, notes, load } = search;
  const { frame, prices } = bound;
  const { model } = frame;
  const { weights, strong, measures } = model;
  const groups = model.groups.length;
  for (let g = 0; g < groups; g += 1)
    heard[p * groups + g] = p > 0 ? (heard[(p - 1) * groups + g] ?? 0) : 0;
  notes[p] = 0;
  load[p] = 0;
  for (let m = 0; m < measures; m += 1) {
    const c = order[p * measures + m] ?? 0;
    notes[p] = (notes[p] ?? 0) + (model.busyness[c] ?? 0);
    load[p] = (load[p] ?? 0) + (model.load[c] ?? 0);
    for (const g of model.groupsOf[c] ?? [])
      heard[p * groups + g] = (heard[p * groups + g] ?? 0) + 1;
  }
  let slack = beyond(weights.overload, prices.over[p] ?? 0, (load[p] ?? 0) - model.capacity);
  for (const [r, [before, after]] of model.rises.entries())
    if (after === p)
      slack += beyond(
        weights.rise,
        prices.rise[r] ?? 0,
        model.riseStep + (notes[before] ?? 0) - (notes[after] ?? 0),
      );
  if (strong?.pass === p)
    slack += beyond(weights.strong, prices.strong[0] ?? 0, strong.notes - (notes[p] ?? 0));
  return p < model.passes - 1 ? slack + earlySlack(search, prices, model, p) : slack;
}

/** Is pass p, just laid, like an earlier one or a settled one? */
function repeatsAnother({ order, settled, bound }: Search, p: number): boolean {
  const { model } = bound.frame;
  const { measures, passes, fixed } = model;
  if (settled[p]) return false;
  for (let q = 0; q < passes; q += 1) {
    if (q === p || (q > p && !settled[q])) continue;
    const other = q < p ? order : fixed;
    let m = 0;
    while (m < measures && other[q * measures + m] === order[p * measures + m]) m += 1;
    if (m === measures) return true;
  }
  return false;
}

function edgeInto({ bound, order }: Search, cell: number, choice: number): number {
  const { model, into } = bound.frame;
  const m = cell % model.measures;
  const edge = into[m];
  if (!edge || cell === 0) return 0;
  const a = (order[cell - 1] ?? 0) - (model.first[edge.from] ?? 0);
  return edge.costs[a * sizeAt(model, m) + choice - (model.first[m] ?? 0)] ?? 0;
}

/** The choices that may stand in a cell now, the most promising last. */
function choicesFor(search: Search, cell: number): number[] {
  const { bound, left } = search;
  const { frame, path } = bound;
  const { model, choices, open } = frame;
  const m = cell % model.measures;
  const row = Math.floor(cell / model.measures) * choices;
  const isFixed = (model.fixed[cell] ?? -1) >= 0;
  const promise: { readonly c: number; readonly cost: number }[] = [];
  for (let c = model.first[m] ?? 0; c < (model.first[m + 1] ?? 0); c += 1)
    if (open[row + c] && (isFixed || (left[c] ?? 0) > 0))
      promise.push({ c, cost: edgeInto(search, cell, c) + (path.toGo[row + c] ?? 0) });
  return promise.sort((a, b) => b.cost - a.cost || b.c - a.c).map(({ c }) => c);
}

/** Lays a choice and answers the least that any order which begins like this costs. */
function lay(search: Search, cell: number, choice: number): number {
  const { bound, order, laid, slack, repeats } = search;
  const { model, choices } = bound.frame;
  const p = Math.floor(cell / model.measures);
  order[cell] = choice;
  const own = bound.path.costs[p * choices + choice] ?? 0;
  laid[cell + 1] = (laid[cell] ?? 0) + edgeInto(search, cell, choice) + own;
  let more = slack[cell] ?? 0;
  for (const i of search.crossingsAt.get(cell) ?? []) more += crossingSlack(search, i);
  repeats[cell + 1] = repeats[cell] ?? 0;
  if ((cell + 1) % model.measures === 0) {
    more += passSlack(search, p);
    if (repeatsAnother(search, p)) repeats[cell + 1] = (repeats[cell] ?? 0) + 1;
  }
  slack[cell + 1] = more;
  const toCome = (bound.path.toGo[p * choices + choice] ?? 0) - own;
  return search.base + (laid[cell + 1] ?? 0) + toCome + more;
}

/**
 * Looks for an order better than the one given, or rules all others out, depth first with the bound's prices. Yields every `every`
 * nodes, and at last with `done` true unless it gave up after `most` nodes.
 */
export function* proofs(
  bound: Bound,
  start: Pick<Proof, 'order' | 'cost' | 'repeats'>,
  fewest: number,
  most: number,
  every: number,
): Generator<Proof, void> {
  const { model } = bound.frame;
  const search = searchOf(bound);
  const { left, order, repeats, todo } = search;
  let best = { order: start.order, cost: start.cost, repeats: start.repeats };
  const hopeless = (least: number, repeated: number) => {
    const settled = Math.max(repeated, fewest);
    if (settled !== best.repeats) return settled > best.repeats;
    return Math.ceil(least - 1e-6) >= best.cost;
  };
  const free = (cell: number, by: number) => {
    const choice = order[cell] ?? 0;
    if ((model.fixed[cell] ?? -1) < 0) left[choice] = (left[choice] ?? 0) + by;
  };
  let [cell, nodes] = [0, 0];
  todo[0] = choicesFor(search, 0);
  while (cell >= 0) {
    const choice = todo[cell]?.pop();
    if (choice === undefined) {
      cell -= 1;
      if (cell >= 0) free(cell, 1);
      continue;
    }
    nodes += 1;
    if (nodes > most) break;
    if (nodes % every === 0) yield { ...best, nodes, done: false };
    const least = lay(search, cell, choice);
    if (hopeless(least, repeats[cell + 1] ?? 0)) continue;
    if (cell + 1 === order.length) {
      best = { order: order.slice(), cost: costOf(model, order), repeats: repeats[cell + 1] ?? 0 };
      continue;
    }
    free(cell, -1);
    cell += 1;
    todo[cell] = choicesFor(search, cell);
  }
  yield { ...best, nodes, done: cell < 0 };
}
