import fc from 'fast-check';
import { expect, test } from 'vitest';
import { cheapestAssignment } from '../../../lib/passes/assign';

function permutations(n: number): readonly (readonly number[])[] {
  if (n === 0) return [[]];
  return permutations(n - 1).flatMap((rest) =>
    Array.from({ length: n }, (_, at) => [...rest.slice(0, at), n - 1, ...rest.slice(at)]),
  );
}

const square = fc.integer({ min: 0, max: 6 }).chain((size) =>
  fc.tuple(
    fc.constant(size),
    fc.array(fc.integer({ min: -9, max: 30 }), {
      minLength: size * size,
      maxLength: size * size,
    }),
  ),
);

test('[P15] the assignment is as cheap as the cheapest permutation, and its prices prove it', () =>
  fc.assert(
    fc.property(square, ([size, list]) => {
      const costs = Float64Array.from(list);
      const { columnOf, rowPrices, columnPrices } = cheapestAssignment(costs, size);
      const total = (columns: Iterable<number>) =>
        [...columns].reduce((sum, column, row) => sum + (costs[row * size + column] ?? 0), 0);
      expect(new Set(columnOf).size).toBe(size);
      expect(total(columnOf)).toBe(Math.min(...permutations(size).map(total)));
      for (let row = 0; row < size; row += 1)
        for (let column = 0; column < size; column += 1)
          expect((rowPrices[row] ?? 0) + (columnPrices[column] ?? 0)).toBeLessThanOrEqual(
            costs[row * size + column] ?? 0,
          );
      const prices = [...rowPrices, ...columnPrices].reduce((sum, price) => sum + price, 0);
      expect(prices).toBe(total(columnOf));
    }),
    { seed: 1, numRuns: 200 },
  ));
