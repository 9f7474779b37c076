import type { Result } from '../../lib/result';
import type { MadePlan, PlanProblem } from '../../shared/board/plan';
import { planningOf } from '../../shared/board/plan';
import type { Board, Plan } from '../../shared/board/schema';

/** What planning a board comes to, from beginning to end. */
export function planResult(board: Board): Result<MadePlan, PlanProblem> {
  const steps = planningOf(board);
  let step = steps.next();
  while (!step.done) step = steps.next();
  return step.value;
}

/** The plan that a board's votes make. @throws RangeError where there is none, in the words for the leader */
export function planOf(board: Board): Plan {
  const result = planResult(board);
  if (!result.ok) throw new RangeError(result.problems.map(({ words }) => words).join(' '));
  return result.value.plan;
}
