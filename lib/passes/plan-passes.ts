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
import { EFFORT, EFFORT_AGAIN, orderings } from './order';
import type { ChoiceId, PlanRequest } from './request';
import { begunOrder } from './warm';

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

/** A plan that another one follows; one that was published is known by its passes alone. */
export type PlanBefore = Pick<PassPlan, 'passes'> & Partial<Pick<PassPlan, 'ordered'>>;

export interface PlanOptions {
  /** EFFORT unless given, or EFFORT_AGAIN where there is a plan before. */
  readonly effort?: Effort;
  /**
   * The plan that this one follows, of the same tune: what need not change stays where it is, and the work is less. A plan of another tune is no help, nor any harm.
   */
  readonly before?: PlanBefore;
}

function passesOf(model: Model, columns: readonly Column[], { order }: Ordered) {
  return Array.from(
    { length: model.passes },
    (_, p) =>
      new Map(
        columns.map(({ measure }, m): [MeasureId, ChoiceId] => [
          measure.id,
          model.ids[order[p * model.measures + m] ?? 0] ?? 'plain',
        ]),
      ),
  );
}

/**
 * From votes to passes, step by step: seats are elected, locks respected, and the seats put in order. Yields its progress and at last
 * returns the plan, or every reason in words why the locks cannot all be respected. The same request (and plan before) gives the same
 * plan on every machine.
 * @throws RangeError for a request that no parsed board makes: no measures, a measure without its plain choice, ballots that do not match,
 * numbers that are not whole
 */
export function* planning(
  request: PlanRequest,
  { before, effort = before?.ordered ? EFFORT_AGAIN : EFFORT }: PlanOptions = {},
): Generator<Progress, Result<PassPlan, LockProblem>, void> {
  checkShape(request);
  const { locked, problems } = lockedCells(request);
  if (problems.length > 0) return fail(...problems);
  const { plainPasses } = locked;
  const columns = columnsOf(request, locked);
  const model = modelOf(request, columns, plainPasses);
  const ids = request.measures.map(({ id }) => id);
  const known = before && {
    begun: begunOrder(model, ids, before.passes),
    ...(before.ordered ? { proof: before.ordered.proof } : {}),
  };
  const ordered = yield* orderings(model, effort, known);
  return ok({
    passes: passesOf(model, columns, ordered),
    columns,
    plainPasses,
    ordered,
    model,
    unheardFamilies: unheardFamilies(columns),
  });
}

/** `planning` from beginning to end. */
export function planPasses(
  request: PlanRequest,
  options: PlanOptions = {},
): Result<PassPlan, LockProblem> {
  const steps = planning(request, options);
  let step = steps.next();
  while (!step.done) step = steps.next();
  return step.value;
}
