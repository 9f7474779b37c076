import { frettingPath } from '../../lib/hands/fretting';
import type { Level } from '../../lib/hands/level';
import { difficultyOf } from '../../lib/hands/level';
import type { LockProblem } from '../../lib/passes/locks';
import type { Progress } from '../../lib/passes/order';
import type { PassPlan } from '../../lib/passes/plan-passes';
import { planning } from '../../lib/passes/plan-passes';
import type { Choice, ChoiceId, Lock, PlanMeasure, PlanRequest } from '../../lib/passes/request';
import type { Problem, Result } from '../../lib/result';
import { fail, ok } from '../../lib/result';
import { containsOf } from '../../lib/tab/marks';
import type { Measure, Stroke } from '../../lib/tab/measure';
import type { PlainMeasure } from '../../lib/tune';
import { measureOf, playOrder } from '../../lib/tune';
import type { MeasureId, VariantId } from '../../lib/units';
import { measuresOf } from './plan-to-play';
import type { BallotId, Board, Plan, PlannedVariant } from './schema';
import { plainId } from './schema';
import { votersOf } from './tally';

/**
 * Tenths of a point of difficulty (`lib/hands/level`) that a measure may ask for on average at each level: half of what a single measure
 * of that level may. Source: "music uses few", our estimate, common practice, no source.
 */
const CAPACITY: Readonly<Record<Level, number>> = { 1: 4, 2: 12, 3: 22, 4: 40, 5: 80 };
/** Effort of the fretting hand, in mm, that counts one point between two measures. Source: our estimate. */
const MM_A_POINT = 10;
/** Points for two measures that nobody can play after one another at the tempo. Source: our estimate: above any that can be played. */
const UNJOINABLE = 100;
/** Strokes at a bar line that can matter for the hand: a bum-ditty on either side. */
const NEAR = 4;

/** The end of one measure as a measure of its own, with the bar line where it was. */
function tail(measure: Measure): Measure {
  const strokes = measure.strokes.slice(-NEAR);
  const from = strokes[0]?.at ?? 0;
  return {
    ...measure,
    startsAt: measure.startsAt + from,
    ticks: measure.ticks - from,
    strokes: strokes.map((stroke) => ({ ...stroke, at: stroke.at - from })),
  };
}

function head(measure: Measure): Measure {
  return { ...measure, strokes: measure.strokes.slice(0, NEAR) };
}

/** What it costs the fretting hand to go on from one measure to the next at the tune's tempo, in points; asked once for each pair. */
function joinCostOf(board: Board, strokesOf: (measure: MeasureId, id: ChoiceId) => Measure) {
  const { neck, tempo } = board.tune;
  const known = new Map<string, number>();
  const alone = new Map<Measure, number>();
  const effort = (measure: Measure): number => {
    const before = alone.get(measure);
    if (before !== undefined) return before;
    const path = frettingPath([measure], neck, tempo);
    const cost = path.ok ? path.value.cost : 0;
    alone.set(measure, cost);
    return cost;
  };
  const ends = new Map<Measure, { readonly head: Measure; readonly tail: Measure }>();
  const endsOf = (measure: Measure) => {
    const made = ends.get(measure) ?? { head: head(measure), tail: tail(measure) };
    ends.set(measure, made);
    return made;
  };
  return (a: MeasureId, choiceA: ChoiceId, b: MeasureId, choiceB: ChoiceId): number => {
    const key = `${a} ${choiceA} ${b} ${choiceB}`;
    const before = known.get(key);
    if (before !== undefined) return before;
    const from = endsOf(strokesOf(a, choiceA)).tail;
    const into = endsOf(strokesOf(b, choiceB)).head;
    const joined = frettingPath([from, into], neck, tempo);
    const mm = joined.ok ? joined.value.cost - effort(from) - effort(into) : Infinity;
    const points = Math.min(UNJOINABLE, Math.max(0, Math.round(mm / MM_A_POINT)));
    known.set(key, points);
    return points;
  };
}

function choiceOf(board: Board, measure: Measure, plain: Measure): Omit<Choice, 'id'> {
  const { neck, tempo } = board.tune;
  const difficulty = (one: Measure) => {
    const path = frettingPath([one], neck, tempo);
    return difficultyOf(one, path.ok ? path.value.hard : [], tempo).points;
  };
  const points = Math.max(0, difficulty(measure) - difficulty(plain));
  return {
    families: containsOf(measure),
    busyness: measure.strokes.filter(({ by }) => by !== 'rest').length,
    load: Math.round(points * 10),
    risk: Math.round(points),
  };
}

/** The leader's own choice for a measure as locks on all passes that are not plain anyway. */
function overruledLocks(board: Board, measure: MeasureId): readonly Lock[] {
  const choice = board.overruled[measure];
  const { locks, plainFirst } = board.planning;
  if (choice === undefined) return [];
  const isTaken = (pass: number) =>
    (plainFirst && pass === 1) ||
    locks.some(
      (lock) => lock.pass === pass && (lock.kind === 'plain-pass' || lock.measure === measure),
    );
  return Array.from({ length: board.passes }, (_, index) => index + 1)
    .filter((pass) => !isTaken(pass))
    .map((pass): Lock => ({ kind: 'cell', pass, measure, choice }));
}

/**
 * What the board asks of the planner: its votes, its leader's decisions, and what its engine knows of each variant. Locks on what is no
 * longer there are left out.
 */
function planRequestOf(board: Board): PlanRequest {
  const { meter } = board.tune;
  const voters = votersOf(board);
  const plains = measuresOf(board);
  const drawn = new Map<string, Measure>();
  const measures = plains.map((plain): PlanMeasure => {
    const own = measureOf(meter, plain);
    drawn.set(`${plain.id} plain`, own);
    const choices: Choice[] = [{ id: 'plain', ...choiceOf(board, own, own) }];
    for (const { id, author, strokes } of board.variants.filter((v) => v.measure === plain.id)) {
      const measure = measureOf(meter, plain, strokes);
      drawn.set(`${plain.id} ${id}`, measure);
      choices.push({ id, author, ...choiceOf(board, measure, own) });
    }
    const here = new Set<BallotId>([
      plainId(plain.id),
      ...choices.map(({ id }) => id as VariantId),
    ]);
    const ballots = voters.map((voter) =>
      (board.approvals[voter] ?? [])
        .filter((id) => here.has(id))
        .map((id) => (id === plainId(plain.id) ? 'plain' : id)),
    );
    return { id: plain.id, choices, ballots };
  });
  const isThere = (lock: Lock) =>
    lock.pass <= board.passes &&
    (lock.kind === 'plain-pass' || drawn.has(`${lock.measure} ${lock.choice}`));
  const locks = [
    ...board.planning.locks,
    ...plains.flatMap(({ id }) => overruledLocks(board, id)),
  ].filter(isThere);
  const strokesOf = (measure: MeasureId, id: ChoiceId): Measure => {
    const found = drawn.get(`${measure} ${id}`);
    if (!found) throw new RangeError(`measure ${measure} has no choice ${id}`);
    return found;
  };
  const { rule, carry, plainFirst } = board.planning;
  return {
    measures,
    form: playOrder(board.tune).map((visit) => visit.measure.id),
    passes: board.passes,
    plainFirst,
    rule,
    carry,
    locks,
    capacity: plains.length * CAPACITY[board.level],
    joinCost: joinCostOf(board, strokesOf),
  };
}

/** Passes as they are published: with copies of all that they play, so that nothing changes under anybody's fingers. */
function publishable(board: Board, passes: readonly ReadonlyMap<MeasureId, ChoiceId>[]): Plan {
  const used = new Set(passes.flatMap((pass) => [...pass.values()]));
  const names = new Map(board.people.map((person) => [person.id, person.name]));
  const variants: Record<VariantId, PlannedVariant> = {};
  for (const { id, measure, strokes, author } of board.variants)
    if (used.has(id)) variants[id] = { measure, strokes, by: names.get(author) ?? '' };
  return { passes: passes.map((choice) => Object.fromEntries(choice)), variants };
}

export type PlanProblem = LockProblem | Problem<'no-measures', Readonly<Record<string, never>>>;

/** A plan that could be published, with all that explains it. */
export interface MadePlan {
  readonly plan: Plan;
  readonly made: PassPlan;
  readonly request: PlanRequest;
}

/**
 * The passes that the board's votes make now, step by step: yields how far it has come. They follow the published plan, so that what need
 * not change stays where people have practised it, and are the same for everybody who sees the same board. The problems are those of the
 * leader's locks.
 */
export function* planningOf(
  board: Board,
): Generator<Progress, Result<MadePlan, PlanProblem>, void> {
  const request = planRequestOf(board);
  if (request.measures.length === 0)
    return fail({
      code: 'no-measures',
      where: {},
      words: 'The tune has no measures that are played yet, so there is nothing to plan.',
    });
  const passes = board.plan?.passes.map(
    (pass): ReadonlyMap<MeasureId, ChoiceId> =>
      new Map(request.measures.map(({ id }) => [id, pass[id] ?? 'plain'])),
  );
  const made = yield* planning(request, passes ? { before: { passes } } : {});
  if (!made.ok) return made;
  return ok({ plan: publishable(board, made.value.passes), made: made.value, request });
}

/** The strokes that a plan plays in a measure in one of its passes (from 0); the measure's own where it is plain. */
export function strokesIn(plan: Plan, pass: number, plain: PlainMeasure): readonly Stroke[] {
  const id = plan.passes[pass]?.[plain.id] ?? 'plain';
  return plan.variants[id]?.strokes ?? plain.strokes;
}
