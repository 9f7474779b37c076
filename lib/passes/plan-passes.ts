import type { Result } from '../result';
import { fail, ok } from '../result';
import type { MeasureId } from '../units';
import type { Column } from './columns';
import { columnsOf } from './columns';
import type { LockProblem } from './locks';
import { lockedCells } from './locks';
import type { Model } from './model';
import { modelOf } from './model';
import type { Effort, Ordered, Progress } from './order';
import { EFFORT, orderings } from './order';
import type { ChoiceId, PlanRequest } from './request';

/** A plan with all that explains it. */
export interface PassPlan {
  /** For each pass what stands in each measure. */
  readonly passes: readonly ReadonlyMap<MeasureId, ChoiceId>[];
  /** For each measure its election, seats and fixed passes. */
  readonly columns: readonly Column[];
  /** The passes (from 0) that are played plain throughout. */
  readonly plainPasses: ReadonlySet<number>;
  readonly ordered: Ordered;
  readonly model: Model;
  /** Families that were proposed and not hidden but are not heard: they did not win a seat. */
  readonly unheardFamilies: readonly string[];
}

function unheardFamilies(columns: readonly Column[]): readonly string[] {
  const proposed = new Set<string>();
  const heard = new Set<string>();
  for (const { measure, seats, fixed } of columns) {
    const played = new Set([...seats, ...fixed.values()]);
    for (const { id, families, hidden } of measure.choices)
      for (const family of hidden ? [] : families) {
        proposed.add(family);
        if (played.has(id)) heard.add(family);
      }
  }
  return [...proposed].filter((family) => !heard.has(family));
}

function checkShape({ measures, passes }: PlanRequest): void {
  if (!Number.isInteger(passes) || passes < 1)
    throw new RangeError(`${passes} passes: a whole number from 1`);
  if (measures.length === 0) throw new RangeError('a plan needs a measure');
  for (const { id, choices, ballots } of measures) {
    if (choices.filter((choice) => choice.id === 'plain' && !choice.hidden).length !== 1)
      throw new RangeError(`measure ${id} needs its plain choice, once and not hidden`);
    if (ballots.length !== measures[0]?.ballots.length)
      throw new RangeError(`measure ${id} has ${ballots.length} ballots, others have more or less`);
  }
}

/**
 * From votes to passes, step by step: seats are elected, locks respected, and the seats put in order. Yields its progress and at last
 * returns the plan, or every reason in words why the locks cannot all be respected. The same request gives the same plan on every machine.
 * @throws RangeError for a request that no parsed board makes: no measures, a measure without its plain choice, ballots that do not match,
 * numbers that are not whole
 */
export function* planning(
  request: PlanRequest,
  effort: Effort = EFFORT,
): Generator<Progress, Result<PassPlan, LockProblem>, void> {
  checkShape(request);
  const { locked, problems } = lockedCells(request);
  if (problems.length > 0) return fail(...problems);
  const columns = columnsOf(request, locked);
  const model = modelOf(request, columns, locked.plainPasses);
  const ordered = yield* orderings(model, effort);
  const passes = Array.from(
    { length: request.passes },
    (_, p) =>
      new Map(
        request.measures.map(({ id }, m): [MeasureId, ChoiceId] => [
          id,
          model.ids[ordered.order[p * model.measures + m] ?? 0] ?? 'plain',
        ]),
      ),
  );
  return ok({
    passes,
    columns,
    plainPasses: locked.plainPasses,
    ordered,
    model,
    unheardFamilies: unheardFamilies(columns),
  });
}

/** `planning` from beginning to end. */
export function planPasses(
  request: PlanRequest,
  effort: Effort = EFFORT,
): Result<PassPlan, LockProblem> {
  const steps = planning(request, effort);
  let step = steps.next();
  while (!step.done) step = steps.next();
  return step.value;
}
