import { renderSound, SoundRenderer, soundFrames } from '../../lib/sound/render';
import { scoreOf } from '../../lib/sound/score';
import { neckOf, TUNINGS } from '../../lib/tuning';
import { bar } from '../kit/tab';
import type { Measure } from './run';

const RATE = 48_000;
const QUANTUM = 128;

/** A pass of 32 measures at 110 in which all five strings ring and every kind of stroke is heard, with a click. */
function pass() {
  const [tuning] = TUNINGS;
  if (!tuning) throw new RangeError('no tuning');
  const four = [
    bar('4/4', 's4 t5 b1234 t5 | s3 h3.2 b1234 t5'),
    bar('4/4', 's3.2 l3.4 b12 t5 | s1.2 p1 b1234 t5'),
    bar('4/4', 's1 t2 s3 t4 | s4.2 t5 b1234 t5'),
    bar('4/4', 's2 t5 x1234 t5 | s4 t5 b1234 t5'),
  ];
  const measures = Array.from({ length: 8 }, () => four).flat();
  return { measures, neck: neckOf(tuning), tempo: 110, click: true };
}

/** Milliseconds that the middle one of several runs takes. */
function middleMs(runs: number, run: () => void): number {
  const times = Array.from({ length: runs }, () => {
    const from = performance.now();
    run();
    return performance.now() - from;
  }).sort((a, b) => a - b);
  return times[Math.floor(runs / 2)] ?? 0;
}

/** The longest that one block of an audio thread took over a pass, in ms. */
function slowestBlockMs(source: ReturnType<typeof pass>): number {
  const renderer = new SoundRenderer(RATE);
  renderer.schedule(scoreOf(source).events);
  const block = new Float32Array(QUANTUM);
  let slowest = 0;
  for (let done = 0; done < soundFrames(source, RATE); done += QUANTUM) {
    const from = performance.now();
    renderer.render(block);
    slowest = Math.max(slowest, performance.now() - from);
  }
  return slowest;
}

export const name = 'Sound: a pass of 32 measures, five strings, 48 kHz';

export async function run(): Promise<readonly Measure[]> {
  const source = pass();
  const options = { sampleRate: RATE, channels: 1 } as const;
  renderSound(source, options);
  const audioMs = (1000 * soundFrames(source, RATE)) / RATE;
  const ms = middleMs(7, () => renderSound(source, options));
  const slowest = [1, 2, 3].map(() => slowestBlockMs(source)).sort((a, b) => a - b)[1] ?? 0;
  return [
    {
      what: 'faster than real time',
      value: audioMs / ms,
      unit: 'times',
      against: { what: 'asked', value: 100 },
    },
    { what: 'one pass', value: ms, unit: 'ms' },
    {
      what: 'share of one core while playing',
      value: (100 * ms) / audioMs,
      unit: '%',
      against: { what: 'at most', value: 10 },
    },
    {
      what: 'slowest block of 128 samples',
      value: slowest,
      unit: 'ms',
      against: { what: 'the block lasts', value: (1000 * QUANTUM) / RATE },
    },
  ];
}
