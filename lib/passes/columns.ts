import { electMeasures } from './carry';
import type { Locked } from './locks';
import type { Seat } from './profile';
import type { Choice, ChoiceId, PlanMeasure, PlanRequest } from './request';

/** One measure over all passes: what is to be played in it and what stands fixed, but not yet in which pass the rest comes. */
export interface Column {
  readonly measure: PlanMeasure;
  /** In order of election. */
  readonly elected: readonly Seat[];
  /** What the passes that are not fixed hold between them, in no order; one choice may stand more than once. */
  readonly seats: readonly ChoiceId[];
  /** By pass, from 0: what is fixed there. */
  readonly fixed: ReadonlyMap<number, ChoiceId>;
}

/** The visible choices that people may elect, and ballots without what is hidden or unknown. */
function electorate({ choices, ballots }: PlanMeasure) {
  const order = choices.filter((choice) => !choice.hidden).map((choice) => choice.id);
  const known = new Set<string>(order);
  return { order, ballots: ballots.map((ids) => ids.filter((id) => known.has(id))) };
}

/**
 * The elected seats that are left when the locks have taken theirs: a lock on an elected choice takes one of its seats, a lock on
 * anything else takes the seat that was elected last.
 */
function seatsLeft(elected: readonly ChoiceId[], locks: readonly ChoiceId[]): readonly ChoiceId[] {
  const seats = [...elected];
  let unseated = 0;
  for (const id of locks) {
    const at = seats.lastIndexOf(id);
    if (at >= 0) seats.splice(at, 1);
    else unseated += 1;
  }
  return seats.slice(0, seats.length - unseated);
}

function columnOf(
  measure: PlanMeasure,
  won: readonly Seat[],
  passes: number,
  { plainPasses, cells }: Locked,
): Column {
  const open = passes - plainPasses.size;
  const byId = new Map<string, Choice>(measure.choices.map((choice) => [choice.id, choice]));
  const elected = won.flatMap(({ id }) => byId.get(id)?.id ?? []);
  const filled: readonly ChoiceId[] =
    elected.length > 0 ? elected : Array.from({ length: open }, () => 'plain' as const);
  const fixed = new Map<number, ChoiceId>(cells.get(measure.id));
  const locks = [...fixed].filter(([pass]) => !plainPasses.has(pass)).map(([, id]) => id);
  for (const pass of plainPasses) fixed.set(pass, 'plain');
  return { measure, elected: won, seats: seatsLeft(filled, locks), fixed };
}

/** The elections of all measures, as many seats as there are passes that are not played plain, and what locks leave of them. */
export function columnsOf(request: PlanRequest, locked: Locked): readonly Column[] {
  const { measures, passes, rule, carry } = request;
  const open = passes - locked.plainPasses.size;
  const elections = electMeasures(measures.map(electorate), open, rule, carry);
  return elections.flatMap((won, m) => {
    const measure = measures[m];
    return measure ? [columnOf(measure, won, passes, locked)] : [];
  });
}
