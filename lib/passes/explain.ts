import type { MeasureId } from '../units';
import type { Column } from './columns';
import type { PassPlan } from './plan-passes';
import type { Choice, ChoiceId, PlanRequest } from './request';

/** A cell of the plan with what surrounds it. */
interface Cell {
  readonly plan: PassPlan;
  readonly request: PlanRequest;
  /** From 0. */
  readonly pass: number;
  readonly column: Column;
  readonly choice: Choice;
}

function choiceOf({ measure }: Column, id: ChoiceId | undefined): Choice {
  const choice = measure.choices.find((one) => one.id === id);
  if (!choice) throw new RangeError(`measure ${measure.id} has no choice ${id}`);
  return choice;
}

/** What else the measure could have played in this pass: the other kinds of its seats. */
function othersOf({ column, choice }: Cell): readonly Choice[] {
  return [...new Set(column.seats)]
    .filter((id) => id !== choice.id)
    .map((id) => choiceOf(column, id));
}

function approvals({ column, choice }: Cell): string {
  const { choices, ballots } = column.measure;
  const visible = new Set<string>(choices.filter(({ hidden }) => !hidden).map(({ id }) => id));
  const voters = ballots.filter((ids) => ids.some((id) => visible.has(id)));
  const of = voters.filter((ids) => ids.includes(choice.id)).length;
  return `${of} of ${voters.length} ${of === 1 ? 'approves' : 'approve'} it`;
}

/** Is no other seat of the measure safer to end on, in a last pass that is not plain? */
function endsSafely(cell: Cell): boolean {
  const others = othersOf(cell);
  return (
    cell.pass === cell.request.passes - 1 &&
    others.some(({ risk }) => risk > cell.choice.risk) &&
    others.every(({ risk }) => risk >= cell.choice.risk)
  );
}

/** A family that is heard nowhere before this cell. */
function firstFamily({ plan, pass, column, choice }: Cell): string | undefined {
  const earlier = new Set<string>();
  for (const [p, choices] of plan.passes.entries())
    for (const other of plan.columns) {
      if (p === pass && other === column)
        return choice.families.find((family) => !earlier.has(family));
      const id = choices.get(other.measure.id);
      for (const family of choiceOf(other, id).families) earlier.add(family);
    }
  return undefined;
}

/** The measure (as players count, from 1) that this cell joins better than the measure's other seats would. */
function joinedMeasure(cell: Cell): number | undefined {
  const { plan, request, pass, column, choice } = cell;
  const { form, joinCost, measures } = request;
  const others = othersOf(cell);
  const joinsBest = (cost: (id: ChoiceId) => number) =>
    others.some(({ id }) => cost(id) > cost(choice.id)) &&
    others.every(({ id }) => cost(id) >= cost(choice.id));
  const own = column.measure.id;
  const visit = form.indexOf(own);
  const [before, after] = [form[visit - 1], form[visit + 1]];
  const playedIn = (id: MeasureId) => plan.passes[pass]?.get(id) ?? 'plain';
  const numberOf = (id: MeasureId) => measures.findIndex((measure) => measure.id === id) + 1;
  if (after !== undefined && joinsBest((id) => joinCost(own, id, after, playedIn(after))))
    return numberOf(after);
  if (before !== undefined && joinsBest((id) => joinCost(before, playedIn(before), own, id)))
    return numberOf(before);
  return undefined;
}

function placeWords(cell: Cell): string {
  if (endsSafely(cell)) return ' and it is safe to end on';
  const family = firstFamily(cell);
  if (family !== undefined) return ` and it brings in the first ${family.replaceAll('-', ' ')}`;
  const joined = joinedMeasure(cell);
  return joined === undefined ? '' : ` and its hand position joins measure ${joined}`;
}

/**
 * Why a cell of the plan is what it is, in one sentence: who wants it, and one thing that speaks for its place.
 * "Here because 7 of 12 approve it and its hand position joins measure 4."
 * @param pass from 1
 * @throws RangeError if the plan has no such pass or measure
 */
export function whyCell(
  plan: PassPlan,
  request: PlanRequest,
  pass: number,
  measure: MeasureId,
): string {
  const column = plan.columns.find((one) => one.measure.id === measure);
  if (!column) throw new RangeError(`the plan has no measure ${measure}`);
  const choice = choiceOf(column, plan.passes[pass - 1]?.get(measure));
  if (plan.plainPasses.has(pass - 1))
    return pass === 1 && request.plainFirst
      ? 'Plain because pass 1 is played plain.'
      : `Plain because the leader keeps pass ${pass} plain.`;
  if (column.fixed.has(pass - 1)) return 'Here because the leader locked it.';
  if (column.elected.length === 0)
    return 'Plain because nobody has approved anything in this measure.';
  const cell = { plan, request, pass: pass - 1, column, choice };
  return `Here because ${approvals(cell)}${placeWords(cell)}.`;
}
