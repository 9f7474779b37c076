import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { readMusicXml } from '../../../lib/formats/musicxml/read';
import { toMusicXml } from '../../../lib/formats/musicxml/write';
import { PLAIN_PASS } from '../../../lib/formats/pass';
import type { Tune } from '../../../lib/tune';
import { writtenTuning } from '../../../lib/tuning';
import { heardInPasses } from '../../property/formats/heard';
import type { Heard } from './judges';
import { asTreble, heardByVerovio, schemaProblems } from './judges';

/** Two files of invented music that were written by hand for this project. */
function sample(name: string): string {
  return readFileSync(
    new URL(`../../data/musicxml/banjo-tab-${name}.musicxml`, import.meta.url),
    'utf8',
  );
}

function tabIn(xml: string): Tune {
  const read = readMusicXml(xml);
  if (!read.ok || read.value.kind !== 'tab') throw new Error('this is no tab');
  return read.value.tune;
}

/** "0/55" for each onset in quarters and pitch. */
function onsets(tune: Tune): string {
  const byStart = new Map<number, number[]>();
  for (const [at, , midi] of heardInPasses(tune, [PLAIN_PASS]))
    byStart.set(at, [...(byStart.get(at) ?? []), midi]);
  return [...byStart]
    .map(([at, midis]) => `${Number((at / 480).toFixed(3))}/${midis.join('+')}`)
    .join(' ');
}

// Source: what the samples' writer lists as their sound, and verovio 6.3.0 (a tab staff read as treble), which agrees.
const MINIMAL =
  '0/55 0.5/57 1/59 2/55+59+62 2.5/67 3/62 3.5/64 4/62 4.5/67 5/60 5.5/59 6/62 6.5/67 7/57 7.5/59 8/62 8.5/67 ' +
  '9/55 10/62 10.5/67 12/55 12.5/57 13/59 14/55+59+62 14.5/67 15/62 15.5/64 16/62 16.5/67 17/60 17.5/59 18/62 18.5/67 ' +
  '19/57 19.5/59 20/62 20.5/67 21/55 22/62 22.5/67 23/55';
const TWO_STAVES =
  '0/64 0.25/62 0.5/66 0.75/69 1/57 1.333/59 1.667/61 2/64 3/71 3.5/64 4.5/62 5/62+62';

describe('the samples', () => {
  test.each([
    ['minimal', MINIMAL],
    ['two-staves', TWO_STAVES],
  ])('%s sounds as listed when read as tab', (name, heard) => {
    expect(onsets(tabIn(sample(name)))).toBe(heard);
  });

  test('hammer-ons, pull-offs, slides, chops, brushes and the thumb are told apart', () => {
    const [, second, third] = tabIn(sample('minimal')).parts.flatMap(({ measures }) => measures);
    expect(second?.strokes.map(({ by }) => by).join(' ')).toBe(
      'strike brush thumb strike hammer strike thumb',
    );
    expect(third?.strokes.map(({ by }) => by).join(' ')).toBe(
      'strike pull strike thumb strike slide chop thumb',
    );
  });

  test('pickup, repeat and two endings are its form', () => {
    const { parts, form } = tabIn(sample('minimal'));
    expect(form).toEqual(['A', 'A']);
    expect(parts[0]?.measures.map(({ startsAt, endings }) => [startsAt, endings])).toEqual([
      [1440, [1]],
      [0, undefined],
      [0, undefined],
      [0, [1]],
      [0, [2]],
    ]);
  });

  // Source: the sample's own comment: gCGCD without the capo; capo 2 makes it aDADE.
  test('capo and tuning are read, and the drone counts by the neck', () => {
    const { neck, parts } = tabIn(sample('two-staves'));
    expect(neck.tuning.id).toBe('gCGCD');
    expect([neck.capo, neck.drone]).toEqual([2, 2]);
    expect(writtenTuning(neck)).toBe('aDADE');
    const drones = parts.flatMap(({ measures }) =>
      measures.flatMap(({ strokes }) =>
        strokes.flatMap(({ notes }) => notes.filter((n) => n.string === 5)),
      ),
    );
    expect(drones.map(({ fret }) => fret)).toEqual([0, 7]);
  });

  test.each(['minimal', 'two-staves'])(
    '%s written by us is valid and sounds the same to verovio',
    (name) => {
      const ours = toMusicXml({ tune: tabIn(sample(name)) });
      expect(schemaProblems(ours)).toEqual([]);
      const theirs = heardByVerovio(
        asTreble(sample(name), name === 'minimal' ? undefined : 1),
      ).notes;
      const merged = (notes: readonly Heard[]) =>
        notes.map(([start, , midi]) => [Math.round(start * 480), midi]);
      const heard = merged(heardByVerovio(asTreble(ours, 1)).notes);
      // The sample ties an E over a bar line; a tab measure rests there, as the string rings on.
      expect(heard).toEqual(merged(theirs).filter(([at]) => name === 'minimal' || at !== 4 * 480));
    },
  );
});

describe('the judges can say no', () => {
  test('the schema refuses what is out of order', () => {
    const wrong = sample('minimal').replace(
      '<duration>1</duration><voice>1</voice>',
      '<voice>1</voice><duration>1</duration>',
    );
    expect(schemaProblems(wrong)).not.toEqual([]);
  });
  test('verovio hears another note as another note', () => {
    const wrong = sample('minimal').replace(
      '<step>B</step><octave>3</octave>',
      '<step>B</step><octave>4</octave>',
    );
    expect(heardByVerovio(asTreble(wrong)).notes).not.toEqual(
      heardByVerovio(asTreble(sample('minimal'))).notes,
    );
  });
});

// Source: W3C MusicXML 4.0 tablature tutorial, with a guitar's strings moved to a banjo's: line = lines + 1 - string.
test('lines count from the bottom, strings from the top', () => {
  const xml = toMusicXml({ tune: tabIn(sample('minimal')) });
  expect(xml).toContain(
    '<staff-tuning line="1"><tuning-step>G</tuning-step><tuning-octave>4</tuning-octave></staff-tuning>',
  );
  expect(xml).toContain(
    '<staff-tuning line="5"><tuning-step>D</tuning-step><tuning-octave>4</tuning-octave></staff-tuning>',
  );
});
