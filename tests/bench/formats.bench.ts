import { arrange } from '../../lib/arrange/arrange';
import { DEMO_ABC } from '../../lib/demo-tune';
import { familyById } from '../../lib/embellish/all';
import { readAbc } from '../../lib/formats/abc/read';
import { toMusicXml } from '../../lib/formats/musicxml/write';
import type { WrittenPass } from '../../lib/formats/pass';
import type { PlainMeasure, Tune } from '../../lib/tune';
import { measureOf, playOrder } from '../../lib/tune';
import type { MeasureId } from '../../lib/units';
import type { Measure } from './run';

const RUNS = 7;

function msOf(work: () => void): number {
  const times = Array.from({ length: RUNS }, () => {
    const from = performance.now();
    work();
    return performance.now() - from;
  }).sort((a, b) => a - b);
  return times[Math.floor(RUNS / 2)] ?? 0;
}

/** The demo tune with its repeats written out, as 32 measures that can all be varied. */
function longTune(): Tune {
  const read = readAbc(DEMO_ABC);
  const arranged = read.ok ? arrange(read.value.melody) : read;
  if (!arranged.ok) throw new RangeError('the demo cannot be arranged');
  const { tune } = arranged.value;
  const measures = playOrder(tune).map(
    ({ measure }, i): PlainMeasure => ({ ...measure, id: `m${i + 1}` as MeasureId }),
  );
  return { ...tune, parts: [{ letter: 'A', measures }], form: ['A'] };
}

/** Twenty passes, each with other hammer-ons, pull-offs and slides. */
function passesOf(tune: Tune): readonly WrittenPass[] {
  const families = (['hammer-on', 'pull-off', 'slide'] as const).map(familyById);
  const measures = tune.parts.flatMap((part) => part.measures);
  return Array.from({ length: 20 }, (_, pass) => {
    const varied = measures.flatMap((plain, i) => {
      const family = families[(pass + i) % families.length];
      const offers = family?.apply(measureOf(tune.meter, plain), 0, tune.neck).offers ?? [];
      const offer = offers[pass % Math.max(1, offers.length)];
      return offer ? [[plain.id, offer.strokes] as const] : [];
    });
    return { name: `Pass ${pass + 1}`, strokes: Object.fromEntries(varied) };
  });
}

export const name = 'Formats: files out and in';

export async function run(): Promise<readonly Measure[]> {
  const tune = longTune();
  const passes = passesOf(tune);
  return [
    {
      what: 'MusicXML of 20 passes of 32 measures',
      value: msOf(() => toMusicXml({ tune, passes })),
      unit: 'ms',
      against: { what: 'at most', value: 100 },
    },
  ];
}
