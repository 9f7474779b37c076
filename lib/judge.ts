import type { PickingProblem } from './hands/picking';
import { checkPicking } from './hands/picking';
import type { FrettingProblem } from './hands/sounding';
import { checkFretting } from './hands/sounding';
import type { FillProblem } from './tab/fill';
import { checkFill } from './tab/fill';
import type { Measure } from './tab/measure';
import type { Neck } from './tuning';

export type MeasureProblem = FillProblem | PickingProblem | FrettingProblem;

/**
 * Everything that stands in the way of playing this measure as it is, in the order of its strokes: it adds up, the picking
 * hand alternates, the fretting hand can do it. Empty when nothing does.
 */
export function problemsOf(measure: Measure, neck: Neck): readonly MeasureProblem[] {
  const all: readonly MeasureProblem[] = [
    ...checkFill(measure),
    ...checkPicking(measure),
    ...checkFretting(measure, neck),
  ];
  return [...all].sort((a, b) => (a.where.stroke ?? -1) - (b.where.stroke ?? -1));
}
