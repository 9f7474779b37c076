import { pricerOf } from './pricer';
import type { State } from './state';
import { applySwap, stateOf } from './state';
import { bestSwap } from './swap';

/** Swaps until no pair of passes that was touched can be made better by a swap of neighbouring measures. */
function descend(state: State, dirty: Uint8Array, leastRepeats: number): void {
  const { passes } = state.model;
  const pricer = pricerOf(state);
  let before = dirty.slice();
  while (before.includes(1)) {
    dirty.fill(0);
    for (let p = 0; p < passes; p += 1)
      for (let q = p + 1; q < passes; q += 1) {
        if (!before[p] && !before[q] && !dirty[p] && !dirty[q]) continue;
        const swap = bestSwap(pricer, p, q, state.repeats > leastRepeats);
        if (!swap) continue;
        applySwap(state, swap);
        dirty[p] = 1;
        dirty[q] = 1;
      }
    before = dirty.slice();
  }
}

/** Numbers from 0 to below `limit`, the same for the same seed. Source: the Park and Miller minimal standard generator, 1988, from memory. */
function lottery(seed: number): (limit: number) => number {
  let state = seed;
  return (limit) => {
    state = (state * 48_271) % 2_147_483_647;
    return state % limit;
  };
}

/** A random swap of free measures between two passes, made whatever it costs. */
function kick(state: State, draw: (limit: number) => number, dirty: Uint8Array): State {
  const { model } = state;
  const { passes, measures, fixed } = model;
  const order = state.order.slice();
  for (let times = 0; times < 2; times += 1) {
    const [p, q, from, length] = [draw(passes), draw(passes), draw(measures), 1 + draw(measures)];
    for (let m = from; m < Math.min(measures, from + length); m += 1) {
      const [a, b] = [p * measures + m, q * measures + m];
      if ((fixed[a] ?? -1) >= 0 || (fixed[b] ?? -1) >= 0) continue;
      [order[a], order[b]] = [order[b] ?? 0, order[a] ?? 0];
    }
    dirty[p] = 1;
    dirty[q] = 1;
  }
  return stateOf(model, order);
}

/**
 * Makes an order better, round by round, and yields the best one found so far after each; it never gets worse. It stops of itself after
 * `rounds` rounds. The same input gives the same orders.
 */
export function* improvements(
  start: State,
  rounds: number,
  leastRepeats: number,
): Generator<State, void> {
  const { model } = start;
  const draw = lottery(1);
  let best = start;
  descend(best, new Uint8Array(model.passes).fill(1), leastRepeats);
  yield best;
  for (let round = 1; round < rounds; round += 1) {
    const dirty = new Uint8Array(model.passes);
    const next = kick(best, draw, dirty);
    descend(next, dirty, leastRepeats);
    if (next.repeats < best.repeats || (next.repeats === best.repeats && next.cost <= best.cost))
      best = next;
    yield best;
  }
}
