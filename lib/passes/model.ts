import type { MeasureId } from '../units';
import type { Column } from './columns';
import type { Choice, ChoiceId, PlanRequest } from './request';
import type { Weights } from './weights';
import { RISE_PART, WEIGHTS } from './weights';

/** Two measures that follow each other: in the same pass (`step` 0) or over into the next one (`step` 1). */
export interface Edge {
  readonly from: number;
  readonly to: number;
  readonly step: 0 | 1;
  /** Weighted points, a row a choice of `from`, a column a choice of `to`. */
  readonly costs: Float64Array;
}

/** Something that should be heard early: a family or a proposer. */
export interface Group {
  /** "family hammer-on", "proposer p7". */
  readonly name: string;
  readonly weight: number;
}

/**
 * The order of passes as numbers. A cell is `pass * measures + measure`, passes and measures from 0. The choices of all measures are
 * numbered through: those of measure m from `first[m]` to `first[m + 1]`. Only choices that are seated or fixed somewhere are in it.
 */
export interface Model {
  readonly passes: number;
  readonly measures: number;
  readonly first: Int32Array;
  readonly ids: readonly ChoiceId[];
  readonly busyness: Float64Array;
  readonly load: Float64Array;
  readonly risk: Float64Array;
  /** For each choice the groups that it belongs to. */
  readonly groupsOf: readonly (readonly number[])[];
  readonly groups: readonly Group[];
  /** For each choice how many cells that are not fixed hold it. */
  readonly counts: Int32Array;
  /** For each cell the choice that is fixed there, else -1. */
  readonly fixed: Int32Array;
  readonly edges: readonly Edge[];
  /** Pairs of passes of which the second should be busier than the first by `riseStep` notes. */
  readonly rises: readonly (readonly [number, number])[];
  readonly riseStep: number;
  /** The last pass, if it is not played plain, and the notes that it should have. */
  readonly strong: { readonly pass: number; readonly notes: number } | undefined;
  readonly capacity: number;
  readonly weights: Weights;
}

function wholeFrom0(value: number, what: string): number {
  if (!Number.isInteger(value) || value < 0)
    throw new RangeError(`${what} is ${value}: a whole number from 0`);
  return value;
}

/** The choices of a column that are played at all, in order of proposal. */
function playedChoices({ measure, seats, fixed }: Column): readonly Choice[] {
  const played = new Set([...seats, ...fixed.values()]);
  return measure.choices.filter((choice) => played.has(choice.id));
}

function edgesOf(
  request: PlanRequest,
  played: readonly (readonly Choice[])[],
  weight: number,
): Edge[] {
  const index = new Map<MeasureId, number>(request.measures.map(({ id }, m) => [id, m]));
  const visits = request.form.map((id) => {
    const m = index.get(id);
    if (m === undefined) throw new RangeError(`the form plays ${id}, which is no measure`);
    return m;
  });
  const times = new Map<string, { from: number; to: number; step: 0 | 1; times: number }>();
  for (const [i, from] of visits.entries()) {
    const step = i + 1 < visits.length ? 0 : 1;
    const to = visits[(i + 1) % visits.length] ?? from;
    const key = `${from} ${to} ${step}`;
    times.set(key, { from, to, step, times: (times.get(key)?.times ?? 0) + 1 });
  }
  return [...times.values()].map(({ from, to, step, times: often }) => {
    const [a, b] = [played[from] ?? [], played[to] ?? []];
    const costs = new Float64Array(a.length * b.length);
    for (const [i, one] of a.entries())
      for (const [j, other] of b.entries()) {
        const cost = request.joinCost(
          request.measures[from]?.id ?? ('' as MeasureId),
          one.id,
          request.measures[to]?.id ?? ('' as MeasureId),
          other.id,
        );
        costs[i * b.length + j] = weight * often * wholeFrom0(Math.round(cost), 'a join cost');
      }
    return { from, to, step, costs };
  });
}

function groupsOf(choices: readonly Choice[], weights: Weights) {
  const groups: Group[] = [];
  const places = new Map<string, number>();
  const placeOf = (kind: 'family' | 'proposer', name: string): number => {
    const key = `${kind} ${name}`;
    const known = places.get(key);
    if (known !== undefined) return known;
    places.set(key, groups.length);
    groups.push({ name: key, weight: weights[kind] });
    return groups.length - 1;
  };
  const of = choices.map(({ author, families }) => [
    ...[...new Set(families)].map((family) => placeOf('family', family)),
    ...(author === undefined ? [] : [placeOf('proposer', author)]),
  ]);
  return { groups, of };
}

/** The rise wished for from pass to pass, and the notes of an average pass, over the passes that are not played plain. */
function busynessWishes(columns: readonly Column[], varied: readonly number[]) {
  const byId = (column: Column, id: ChoiceId) =>
    column.measure.choices.find((choice) => choice.id === id)?.busyness ?? 0;
  let [least, most, sum] = [0, 0, 0];
  for (const column of columns) {
    const held = [...column.seats.map((id) => byId(column, id))];
    for (const pass of varied) {
      const id = column.fixed.get(pass);
      if (id !== undefined) held.push(byId(column, id));
    }
    least += Math.min(...held);
    most += Math.max(...held);
    sum += held.reduce((total, notes) => total + notes, 0);
  }
  if (varied.length < 2 || columns.length === 0) return { riseStep: 0, notes: 0 };
  return {
    riseStep: Math.floor((RISE_PART * (most - least)) / (varied.length - 1)),
    notes: Math.floor(sum / varied.length),
  };
}

/**
 * The numbers that the order of passes is computed from.
 * @param plainPasses passes (from 0) that are played plain throughout
 * @throws RangeError if busyness, load, risk, capacity, a weight or a join cost is not a whole number from 0, or if the form plays
 * a measure that is not there
 */
export function modelOf(
  request: PlanRequest,
  columns: readonly Column[],
  plainPasses: ReadonlySet<number>,
): Model {
  const { passes, capacity, weights = WEIGHTS } = request;
  for (const [name, weight] of Object.entries(weights)) wholeFrom0(weight, `the weight ${name}`);
  const played = columns.map(playedChoices);
  const choices = played.flat();
  const first = new Int32Array(columns.length + 1);
  for (const [m, column] of played.entries()) first[m + 1] = (first[m] ?? 0) + column.length;
  const numberOf = (m: number, id: ChoiceId) =>
    (first[m] ?? 0) + (played[m] ?? []).findIndex((choice) => choice.id === id);
  const counts = new Int32Array(choices.length);
  const fixed = new Int32Array(passes * columns.length).fill(-1);
  for (const [m, column] of columns.entries()) {
    for (const id of column.seats) counts[numberOf(m, id)] = (counts[numberOf(m, id)] ?? 0) + 1;
    for (const [pass, id] of column.fixed) fixed[pass * columns.length + m] = numberOf(m, id);
  }
  const varied = Array.from({ length: passes }, (_, p) => p).filter((p) => !plainPasses.has(p));
  const last = varied.at(-1) === passes - 1 ? passes - 1 : undefined;
  const rising = varied.filter((pass) => pass !== last);
  const { riseStep, notes } = busynessWishes(columns, varied);
  const numbers = (of: 'busyness' | 'load' | 'risk') =>
    Float64Array.from(choices, (choice) => wholeFrom0(choice[of], `the ${of} of ${choice.id}`));
  const { groups, of: groupsOfChoice } = groupsOf(choices, weights);
  return {
    passes,
    measures: columns.length,
    first,
    ids: choices.map((choice) => choice.id),
    busyness: numbers('busyness'),
    load: numbers('load'),
    risk: numbers('risk'),
    groupsOf: groupsOfChoice,
    groups,
    counts,
    fixed,
    edges: edgesOf(request, played, weights.join),
    rises: rising.slice(1).map((pass, i) => [rising[i] ?? pass, pass] as const),
    riseStep,
    strong: last === undefined ? undefined : { pass: last, notes },
    capacity: wholeFrom0(capacity, 'the capacity'),
    weights,
  };
}
