import type { Pricer } from './pricer';
import { moveGroups, overDelta, passCost, pricePair } from './pricer';
import type { Swap } from './state';
import { markOf, repeatsByMarks } from './state';

/** Fewer repeats first, then less cost. */
function isBetter(delta: number, repeats: number, than: { delta: number; repeats: number }) {
  return repeats < than.repeats || (repeats === than.repeats && delta < than.delta);
}

function repeatsAfter({ state, marks }: Pricer, p: number, q: number, mark: number): number {
  marks.set(state.marks);
  marks[p] = ((state.marks[p] ?? 0) + mark) | 0;
  marks[q] = ((state.marks[q] ?? 0) - mark) | 0;
  return repeatsByMarks(marks, state.settled);
}

/** What joins change when measure j joins the segment that begins at i. */
function joinDelta({ edgesAt, edgeDelta, ends }: Pricer, i: number, j: number): number {
  const at = edgesAt[j];
  if (!at) return 0;
  let delta = 0;
  for (let k = 0; k < at.length; k += 1) {
    const e = at[k] ?? 0;
    const other = (ends[e] ?? 0) - j;
    delta += other >= i && other < j ? -(edgeDelta[e] ?? 0) : (edgeDelta[e] ?? 0);
  }
  return delta;
}

/** The best swap whose first measure is i, if it is better than `bar`. `before` is what rise, strength and load cost now. */
function bestFrom(
  pricer: Pricer,
  p: number,
  q: number,
  i: number,
  before: number,
  mayUntangle: boolean,
  bar: Swap,
): Swap {
  const { model, order, firstHeard } = pricer.state;
  const { measures, busyness, load, risk, fixed } = model;
  const riskWeight = model.strong?.pass === q ? model.weights.safe : 0;
  let best = bar;
  pricer.moved.fill(0);
  pricer.first.set(firstHeard);
  let notes = 0;
  let loads = 0;
  let mark = 0;
  let cheap = -before;
  for (let j = i; j < measures; j += 1) {
    const atP = p * measures + j;
    const atQ = q * measures + j;
    if ((fixed[atP] ?? -1) >= 0 || (fixed[atQ] ?? -1) >= 0) break;
    cheap += joinDelta(pricer, i, j);
    const a = order[atP] ?? 0;
    const b = order[atQ] ?? 0;
    if (a === b) continue;
    notes += (busyness[b] ?? 0) - (busyness[a] ?? 0);
    loads += (load[b] ?? 0) - (load[a] ?? 0);
    mark += markOf(b) - markOf(a);
    cheap += moveGroups(pricer, p, q, a, -1) + moveGroups(pricer, p, q, b, 1);
    cheap += riskWeight * ((risk[a] ?? 0) - (risk[b] ?? 0));
    const rest = cheap + overDelta(pricer, p, q, i, j);
    if (!mayUntangle && rest >= best.delta) continue;
    const delta = rest + passCost(pricer, p, q, notes, loads);
    if (!mayUntangle && delta >= best.delta) continue;
    const repeats = repeatsAfter(pricer, p, q, mark);
    if (isBetter(delta, repeats, best)) best = { p, q, from: i, to: j, delta, repeats };
  }
  return best;
}

/**
 * The best swap of neighbouring measures between two passes, of all whose cells are not fixed; undefined if none is better than
 * leaving things as they are.
 * @param p the earlier pass, below `q`
 * @param mayUntangle also looks for dearer swaps that leave fewer repeats
 */
export function bestSwap(
  pricer: Pricer,
  p: number,
  q: number,
  mayUntangle: boolean,
): Swap | undefined {
  const { model, order, repeats } = pricer.state;
  const { measures } = model;
  pricePair(pricer, p, q);
  const before = passCost(pricer, p, q, 0, 0);
  const none: Swap = { p, q, from: 0, to: -1, delta: 0, repeats };
  let best = none;
  for (let i = 0; i < measures; i += 1)
    if (order[p * measures + i] !== order[q * measures + i])
      best = bestFrom(pricer, p, q, i, before, mayUntangle, best);
  return best === none ? undefined : best;
}
