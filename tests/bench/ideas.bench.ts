import { arrange } from '../../lib/arrange/arrange';
import { DEMO_ABC } from '../../lib/demo-tune';
import { readAbc } from '../../lib/formats/abc/read';
import { ideas } from '../../lib/ideas/ideas';
import { judge } from '../../lib/judge';
import type { Tune } from '../../lib/tune';
import { measureOf, playOrder } from '../../lib/tune';
import type { Measure } from './run';

export const name = 'Ideas and judgements, demo tune (32 measures of eight slots)';

/** Limits in ms. Source: what a page can wait for while somebody turns a knob; our own. */
const ONE_MEASURE = 5;
const WHOLE_TUNE = 200;
const ONE_JUDGEMENT = 1;
const WARM_UP = 20;
const RUNS = 15;

function demo(): Tune {
  const read = readAbc(DEMO_ABC);
  const arranged = read.ok ? arrange(read.value.melody) : undefined;
  if (!arranged?.ok) throw new RangeError('the demo tune cannot be arranged');
  return arranged.value.tune;
}

function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? 0;
}

function msOf(work: () => void): number {
  const start = performance.now();
  work();
  return performance.now() - start;
}

export async function run(): Promise<readonly Measure[]> {
  const tune = demo();
  const { neck, key, meter } = tune;
  const visits = playOrder(tune).map(({ measure }) => measure);
  const jobs = visits.map((plain, i) => {
    const [before, after] = [visits[i - 1], visits[i + 1]];
    const context = {
      neck,
      key,
      tempo: 110,
      melody: plain.melody,
      ...(before ? { before: measureOf(meter, before) } : {}),
      ...(after ? { after: measureOf(meter, after) } : {}),
    };
    return { plain: measureOf(meter, plain), context };
  });
  const ask = ({ plain, context }: (typeof jobs)[number]) =>
    ideas(plain, context, { level: 5, busyness: 0.5 });
  for (let i = 0; i < WARM_UP; i++) jobs.forEach(ask);
  const each = jobs.flatMap((job) => Array.from({ length: RUNS }, () => msOf(() => ask(job))));
  const whole = Array.from({ length: RUNS }, () => msOf(() => jobs.forEach(ask)));
  const judged = jobs.flatMap((job) => {
    const strokes = ask(job)[0]?.strokes ?? job.plain.strokes;
    const varied = { ...job.plain, strokes };
    return Array.from({ length: RUNS }, () =>
      msOf(() => judge(varied, { ...job.context, plain: job.plain })),
    );
  });
  const against = (value: number) => ({ what: 'limit', value });
  return [
    {
      what: 'ideas for a measure, median',
      value: median(each),
      unit: 'ms',
      against: against(ONE_MEASURE),
    },
    {
      what: 'ideas for the whole tune, median',
      value: median(whole),
      unit: 'ms',
      against: against(WHOLE_TUNE),
    },
    {
      what: 'judging a measure, median',
      value: median(judged),
      unit: 'ms',
      against: against(ONE_JUDGEMENT),
    },
  ];
}
