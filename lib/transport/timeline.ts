import type { Meter } from '../rhythm';
import type { Ticks } from '../units';

/** One pass laid out in time: what `positionAt` needs of the tune. */
export interface Timeline {
  readonly meter: Meter;
  /** Where each measure of a pass starts, ascending from 0, in playing order. */
  readonly starts: readonly Ticks[];
  /** Where in its bar each measure starts: not 0 for a pickup. */
  readonly offsets: readonly Ticks[];
  /** Length of a pass. */
  readonly total: Ticks;
}

/** Two measures of count. Source: common practice, no source. */
export const COUNT_IN_MEASURES = 2;

/**
 * Length of the count before the first stroke of a measure: two measures, and where a pickup begins, it begins inside the second one,
 * so that the bar lines of count and tune are in step. Source: common practice, no source.
 * @param visit the measure that is counted in, as its place in the pass
 */
export function countInTicks({ meter, offsets }: Timeline, visit = 0): Ticks {
  const pickup = offsets[visit] ?? 0;
  return pickup > 0 ? meter.measure + pickup : COUNT_IN_MEASURES * meter.measure;
}
