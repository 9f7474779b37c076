import { arrange } from '../../lib/arrange/arrange';
import { DEMO_ABC } from '../../lib/demo-tune';
import { familyById } from '../../lib/embellish/all';
import { readAbc } from '../../lib/formats/abc/read';
import { abcTunes } from '../../lib/formats/abc/tunes';
import { toAbc } from '../../lib/formats/abc/write';
import { readMidi } from '../../lib/formats/midi/read';
import { toMidi } from '../../lib/formats/midi/write';
import { readMusicXml } from '../../lib/formats/musicxml/read';
import { toMusicXml } from '../../lib/formats/musicxml/write';
import type { WrittenPass } from '../../lib/formats/pass';
import type { Melody } from '../../lib/melody';
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

/** @throws RangeError for a tune that is refused, so that a refusal is never measured */
function arranged(melody: Melody | undefined): void {
  if (!melody || !arrange(melody).ok) throw new RangeError('the file cannot be arranged');
}

function melodyIn(xml: string): Melody | undefined {
  const read = readMusicXml(xml);
  return read.ok && read.value.kind === 'melody' ? read.value.melody : undefined;
}

export async function run(): Promise<readonly Measure[]> {
  const tune = longTune();
  const passes = passesOf(tune);
  const abc = toAbc(tune);
  const midi = toMidi({ tune });
  const xml = toMusicXml({ tune });
  const melodyXml = xml.replace(
    /<note>(?:(?!<\/note>).)*<staff>2<\/staff>(?:(?!<\/note>).)*<\/note>/g,
    '',
  );
  const book = Array.from(
    { length: 1000 },
    (_, i) => `${abc.replace(/^X:1/, `X:${i + 1}`).replace(/^T:.*/m, `T:Tune ${i + 1}`)}\n`,
  ).join('');
  const imported = { what: 'at most', value: 150 };
  const row = (what: string, work: () => void, against = imported): Measure => ({
    what,
    value: msOf(work),
    unit: 'ms',
    against,
  });
  return [
    row('MusicXML of 20 passes of 32 measures', () => toMusicXml({ tune, passes }), {
      what: 'at most',
      value: 100,
    }),
    row('ABC of 32 measures read and arranged', () => {
      const read = readAbc(abc);
      arranged(read.ok ? read.value.melody : undefined);
    }),
    row(
      `ABC of ${abcTunes(book).length} tunes listed (${Math.round(book.length / 1000)} kB)`,
      () => abcTunes(book),
      { what: 'at most', value: 1000 },
    ),
    row('The last of them read', () => {
      const read = readAbc(book, { tune: 1000 });
      if (!read.ok) throw new RangeError('the last tune cannot be read');
    }),
    row('MIDI of 32 measures read and arranged', () => {
      const read = readMidi(midi);
      arranged(read.ok ? read.value.melody : undefined);
    }),
    row('MusicXML melody of 32 measures read and arranged', () => arranged(melodyIn(melodyXml))),
    row('MusicXML tab of 32 measures read', () => readMusicXml(xml)),
  ];
}
