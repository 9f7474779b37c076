import { expect, test } from 'vitest';
import { HOUR } from '../../server/limits';
import { MAX_ADDRESSES, Rate } from '../../server/rate';

test('[R14] a million addresses take no more memory than twenty thousand, and no longer each', () => {
  const rate = new Rate(2, HOUR, () => 0);
  const taken = (from: number, to: number) => {
    const begin = performance.now();
    for (let at = from; at < to; at += 1) rate.take(`2001:db8:${at >> 16}:${at & 0xffff}::/64`);
    return performance.now() - begin;
  };
  taken(0, MAX_ADDRESSES);
  const first = taken(MAX_ADDRESSES, 2 * MAX_ADDRESSES);
  const rest = taken(2 * MAX_ADDRESSES, 1_000_000);
  expect(rate.size).toBeLessThanOrEqual(MAX_ADDRESSES);
  expect(rate.size).toBeGreaterThan(0);
  // 48 times as many: linear, with room for a busy machine.
  expect(rest).toBeLessThan(48 * Math.max(first, 5) * 5);
});

test('[R14] an address that goes on asking is not forgotten for others, one that is quiet is the first to go', () => {
  const rate = new Rate(1, HOUR, () => 0);
  expect(rate.take('busy')).toBe(true);
  expect(rate.take('quiet')).toBe(true);
  for (let at = 0; at < MAX_ADDRESSES + 5; at += 1) {
    rate.take(`other ${at}`);
    if (at % 100 === 0) expect(rate.take('busy')).toBe(false);
  }
  expect(rate.take('quiet')).toBe(true);
});

test('[R14] what was long ago counts for nothing, and what was refused was not counted', () => {
  let now = 0;
  const rate = new Rate(2, HOUR, () => now);
  expect([rate.take('a'), rate.take('a'), rate.take('a')]).toEqual([true, true, false]);
  now += HOUR / 2;
  expect(rate.take('a')).toBe(false);
  now += HOUR / 2;
  expect([rate.take('a'), rate.take('a'), rate.take('a')]).toEqual([true, true, false]);
});
