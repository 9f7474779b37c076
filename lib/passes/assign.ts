/** A cheapest way to give each row a column of its own. */
export interface Assignment {
  /** For each row its column. */
  readonly columnOf: Int32Array;
  /** A price for each row and column: no pair costs less than its two prices, and the chosen pairs cost exactly that. */
  readonly rowPrices: Float64Array;
  readonly columnPrices: Float64Array;
}

/** Grows the matching by one row along a cheapest alternating path; arrays count rows and columns from 1, 0 stands for none. */
function addRow(
  costs: Float64Array,
  size: number,
  row: number,
  u: Float64Array,
  v: Float64Array,
  rowOf: Int32Array,
): void {
  const slack = new Float64Array(size + 1).fill(Number.POSITIVE_INFINITY);
  const back = new Int32Array(size + 1);
  const used = new Uint8Array(size + 1);
  let column = 0;
  rowOf[0] = row;
  do {
    used[column] = 1;
    const from = rowOf[column] ?? 0;
    let [least, next] = [Number.POSITIVE_INFINITY, 0];
    for (let j = 1; j <= size; j += 1) {
      if (used[j]) continue;
      const reduced = (costs[(from - 1) * size + j - 1] ?? 0) - (u[from] ?? 0) - (v[j] ?? 0);
      if (reduced < (slack[j] ?? 0)) {
        slack[j] = reduced;
        back[j] = column;
      }
      if ((slack[j] ?? 0) < least) [least, next] = [slack[j] ?? 0, j];
    }
    for (let j = 0; j <= size; j += 1) {
      if (used[j]) {
        const holder = rowOf[j] ?? 0;
        u[holder] = (u[holder] ?? 0) + least;
        v[j] = (v[j] ?? 0) - least;
      } else slack[j] = (slack[j] ?? 0) - least;
    }
    column = next;
  } while ((rowOf[column] ?? 0) !== 0);
  while (column !== 0) {
    const before = back[column] ?? 0;
    rowOf[column] = rowOf[before] ?? 0;
    column = before;
  }
}

/**
 * The cheapest assignment of `size` rows to as many columns. Cost: size^3.
 * @param costs row by row; finite
 * Source: the Hungarian method by shortest augmenting paths (Kuhn 1955, Munkres 1957), from memory; checked against all permutations in
 * tests/property/passes/assign.test.ts
 */
export function cheapestAssignment(costs: Float64Array, size: number): Assignment {
  const u = new Float64Array(size + 1);
  const v = new Float64Array(size + 1);
  const rowOf = new Int32Array(size + 1);
  for (let row = 1; row <= size; row += 1) addRow(costs, size, row, u, v, rowOf);
  const columnOf = new Int32Array(size);
  for (let j = 1; j <= size; j += 1) columnOf[(rowOf[j] ?? 1) - 1] = j - 1;
  return { columnOf, rowPrices: u.subarray(1), columnPrices: v.subarray(1) };
}
