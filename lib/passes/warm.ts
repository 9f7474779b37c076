import type { MeasureId } from '../units';
import type { Bound } from './bound';
import type { Order } from './cost';
import type { Model } from './model';
import type { Frame, Prices } from './relaxation';
import { noPrices } from './relaxation';
import type { ChoiceId } from './request';

/** The order of the plan before, as far as the new seats allow; cells that are still to be filled hold -1. */
export function begunOrder(
  model: Model,
  measures: readonly MeasureId[],
  before: readonly ReadonlyMap<MeasureId, ChoiceId>[],
): Order {
  const order = model.fixed.slice();
  const left = model.counts.slice();
  for (const [cell, fixed] of order.entries()) {
    const m = cell % model.measures;
    const id = measures[m];
    if (fixed >= 0 || id === undefined) continue;
    const played = before[Math.floor(cell / model.measures)]?.get(id);
    const start = model.first[m] ?? 0;
    if (played === undefined) continue;
    const choice = start + model.ids.slice(start, model.first[m + 1]).indexOf(played);
    if (choice < start || (left[choice] ?? 0) === 0) continue;
    left[choice] = (left[choice] ?? 0) - 1;
    order[cell] = choice;
  }
  return order;
}

/** For each new choice the old one that is the same, else -1. Both models must have the same measures. */
function sameChoices(now: Model, old: Model): Int32Array {
  const same = new Int32Array(now.ids.length).fill(-1);
  for (let m = 0; m < now.measures; m += 1)
    for (let c = now.first[m] ?? 0; c < (now.first[m + 1] ?? 0); c += 1)
      for (let o = old.first[m] ?? 0; o < (old.first[m + 1] ?? 0); o += 1)
        if (old.ids[o] === now.ids[c]) same[c] = o;
  return same;
}

function seatPrices(now: Model, old: Bound, same: Int32Array): Float64Array {
  const prices = new Float64Array(now.ids.length);
  for (let m = 0; m < now.measures; m += 1) {
    const [start, end] = [now.first[m] ?? 0, now.first[m + 1] ?? 0];
    const known = [...same.subarray(start, end)].filter((choice) => choice >= 0);
    const sum = known.reduce((total, choice) => total + (old.prices.seat[choice] ?? 0), 0);
    for (let c = start; c < end; c += 1) {
      const choice = same[c] ?? -1;
      prices[c] = choice >= 0 ? (old.prices.seat[choice] ?? 0) : sum / Math.max(1, known.length);
    }
  }
  return prices;
}

function crossPrices(frame: Frame, old: Bound, same: Int32Array): Float64Array {
  const prices = new Float64Array(frame.crossSize);
  for (const { edge, pass, fromAt, toAt } of frame.crossings) {
    const before = old.frame.crossings.find(
      (one) =>
        one.pass === pass &&
        one.edge.from === edge.from &&
        one.edge.to === edge.to &&
        one.edge.step === edge.step,
    );
    if (!before) continue;
    const ends = [
      [edge.from, fromAt, before.fromAt],
      [edge.to, toAt, before.toAt],
    ] as const;
    for (const [m, at, oldAt] of ends) {
      const [start, oldStart] = [frame.model.first[m] ?? 0, old.frame.model.first[m] ?? 0];
      for (let c = start; c < (frame.model.first[m + 1] ?? 0); c += 1) {
        const choice = same[c] ?? -1;
        if (choice >= 0) prices[at + c - start] = old.prices.cross[oldAt + choice - oldStart] ?? 0;
      }
    }
  }
  return prices;
}

/** The prices that proved the bound of the plan before, for the new seats; undefined if the tune or the passes are other ones. */
export function pricesFrom(frame: Frame, old: Bound): Prices | undefined {
  const [now, before] = [frame.model, old.frame.model];
  if (now.measures !== before.measures || now.passes !== before.passes) return undefined;
  const same = sameChoices(now, before);
  const prices = { ...noPrices(frame), seat: seatPrices(now, old, same) };
  const { passes } = now;
  prices.over.set(old.prices.over);
  if (prices.rise.length === old.prices.rise.length) prices.rise.set(old.prices.rise);
  prices.strong.set(old.prices.strong);
  for (const [g, { name }] of now.groups.entries()) {
    const o = before.groups.findIndex((group) => group.name === name);
    if (o >= 0)
      prices.early.set(old.prices.early.subarray(o * passes, (o + 1) * passes), g * passes);
  }
  return { ...prices, cross: crossPrices(frame, old, same) };
}
