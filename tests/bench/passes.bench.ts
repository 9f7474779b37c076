import type { PassPlan } from '../../lib/passes/plan-passes';
import { planPasses } from '../../lib/passes/plan-passes';
import type { PlanRequest } from '../../lib/passes/request';
import type { BoardSize } from '../kit/plan-requests';
import { randomRequest } from '../kit/plan-requests';
import type { Measure } from './run';

const SIZE: BoardSize = { measures: 32, passes: 20, people: 30, variants: 6, carry: true };
const SEEDS = [1, 2, 3, 4, 5, 6, 7, 8];
const LIMIT = { what: 'goal', value: 300 };
const AGAIN = { what: 'goal', value: 100 };

function planned(request: PlanRequest, before?: PassPlan): PassPlan {
  const result = planPasses(request, before ? { before } : {});
  if (!result.ok) throw new Error(result.problems.map(({ words }) => words).join(' '));
  return result.value;
}

/** The request after one person has changed their mind about one variant. */
function afterOneVote(request: PlanRequest): PlanRequest {
  const changed = 5;
  const measures = request.measures.map((measure, m) => {
    const id = measure.choices.find((choice, i) => i > 0 && !choice.hidden)?.id;
    if (m !== changed || id === undefined) return measure;
    const ballots = measure.ballots.map((ids, person) => {
      if (person !== 3) return ids;
      return ids.includes(id) ? ids.filter((one) => one !== id) : [...ids, id];
    });
    return { ...measure, ballots };
  });
  return { ...request, measures };
}

interface Sample {
  readonly wallMs: number;
  readonly cpuMs: number;
  readonly plan: PassPlan;
}

function sample(work: () => PassPlan): Sample {
  const cpu = process.cpuUsage();
  const start = performance.now();
  const plan = work();
  const wallMs = performance.now() - start;
  return { wallMs, cpuMs: process.cpuUsage(cpu).user / 1000, plan };
}

function middle(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? 0;
}

function changedCells(a: PassPlan, b: PassPlan): number {
  return a.passes.reduce(
    (sum, pass, p) =>
      sum + [...pass].filter(([measure, id]) => b.passes[p]?.get(measure) !== id).length,
    0,
  );
}

function times(what: string, samples: readonly Sample[], against: typeof LIMIT): Measure[] {
  const wall = samples.map(({ wallMs }) => wallMs);
  const cpu = samples.map(({ cpuMs }) => cpuMs);
  return [
    {
      what: `${what}, middle of ${samples.length} boards`,
      value: middle(wall),
      unit: 'ms',
      against,
    },
    { what: `${what}, slowest`, value: Math.max(...wall), unit: 'ms', against },
    { what: `${what}, middle, processor time`, value: middle(cpu), unit: 'ms', against },
    { what: `${what}, slowest, processor time`, value: Math.max(...cpu), unit: 'ms', against },
  ];
}

export const name =
  'Seats and order: 32 measures, 20 passes, 30 people, 6 variants a measure, credit carried';

export async function run(): Promise<readonly Measure[]> {
  const shapes: readonly (readonly [string, BoardSize])[] = [
    ['each measure once', SIZE],
    ['parts played twice', { ...SIZE, repeated: true }],
    ['equal shares', { ...SIZE, rule: 'equal-shares' }],
  ];
  planned(randomRequest(99, SIZE));
  return shapes.flatMap(([shape, size]) => {
    const requests = SEEDS.map((seed) => randomRequest(seed, size));
    const first = requests.map((request) => sample(() => planned(request)));
    const again = requests.map((request, i) => {
      const next = afterOneVote(request);
      return sample(() => planned(next, first[i]?.plan));
    });
    const gaps = (samples: readonly Sample[]) =>
      middle(samples.map(({ plan }) => (100 * plan.ordered.gap) / plan.ordered.cost));
    return [
      ...times(shape, first, LIMIT),
      { what: `${shape}: middle gap to the bound`, value: gaps(first), unit: '% of the cost' },
      ...times(`${shape}, after one vote`, again, AGAIN),
      { what: `${shape}, after one vote: middle gap`, value: gaps(again), unit: '% of the cost' },
      {
        what: `${shape}, after one vote: cells that change, of 640`,
        value: middle(again.map(({ plan }, i) => changedCells(plan, first[i]?.plan ?? plan))),
        unit: 'cells',
      },
    ];
  });
}
