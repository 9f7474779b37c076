/**
 * What the order of passes is judged by, in points: a plan costs the sum of all of these, and the plan with the least sum is best. Before any of them
 * comes that no pass is played twice while another can be (see order.ts). One point is one unit of the join cost that the caller gives.
 */
export interface Weights {
  /** For each point of join cost between neighbouring measures, as often as a pass plays them in a row. */
  readonly join: number;
  /** For each note by which a pass falls short of the rise that is wished for after the pass before it. */
  readonly rise: number;
  /** For each note by which the last pass falls short of an average pass. */
  readonly strong: number;
  /** For each point of risk in the last pass. */
  readonly safe: number;
  /** For each point by which a pass asks for more than the group's level. */
  readonly overload: number;
  /** For each pass that goes by before a family is first heard. */
  readonly family: number;
  /** For each pass that goes by before a proposer is first heard. */
  readonly proposer: number;
}

/** Source: our estimates from what leaders ask for, common practice, no source. Whole numbers, so that every sum is exact. */
export const WEIGHTS: Weights = {
  join: 1,
  rise: 6,
  strong: 6,
  safe: 8,
  overload: 10,
  family: 2,
  proposer: 3,
};

/**
 * The rise that is wished for from pass to pass, as a part of the greatest that the seats allow (from every measure at its calmest to every measure at
 * its busiest, in equal steps). Source: our estimate, common practice, no source: variations arrive gradually.
 */
export const RISE_PART = 1 / 4;
