import { XmlDocument } from 'libxml2-wasm';
import { describe, expect, test } from 'vitest';
import { toMusicXml } from '../../../lib/formats/musicxml/write';
import type { WrittenPass } from '../../../lib/formats/pass';
import { meterNamed } from '../../../lib/rhythm';
import type { PlainMeasure, Tune } from '../../../lib/tune';
import { neckOf, tuningById } from '../../../lib/tuning';
import type { MeasureId } from '../../../lib/units';
import { strokesOf } from '../../kit/tab';
import { schemaProblems } from './judges';

const tuning = tuningById('gCGCD');
if (!tuning) throw new RangeError('no double C');

let last = 0;
function measure(text: string, more: Partial<PlainMeasure> = {}): PlainMeasure {
  last += 1;
  const strokes = strokesOf('4/4', text);
  const melody = strokes.filter(({ by }) => by === 'strike').map(({ at }) => at);
  return { id: `m${last}` as MeasureId, startsAt: 0, ticks: 1920, strokes, melody, ...more };
}

/** Each thing that the format is to hold stands in a measure of its own. Double C with a capo at 2, so double D. */
const MEASURES = [
  measure('s1 . b123 t5 s3 . b123 t5', { chord: 'D', chords: [{ at: 960, symbol: 'A7' }] }),
  measure('s3 h3.2 b123 t5 s2.2 p2.0 b123 t5.7'),
  measure('s3.2 l3.4 b123 t5 s1 t2 s3 t5'),
  measure('s3 . x1234 t5 s3~160 h3.2~160 p3~160 b123 t5', { endings: [1] }),
  measure('s1 k2 b123 t5 s3 . b123 t5', { endings: [2] }),
];
const TUNE: Tune = {
  title: 'All of it',
  neck: neckOf(tuning, 2),
  meter: meterNamed('4/4'),
  key: { tonic: 'D', mode: 'major' },
  tempo: 100,
  parts: [{ letter: 'A', measures: MEASURES }],
  form: ['A', 'A'],
};
const VARIED: WrittenPass = {
  name: 'Pass 2',
  strokes: { m1: strokesOf('4/4', 's1 h1.2 b123 t5 s3 . b123 t5') },
};

const xml = toMusicXml({ tune: TUNE });
const passes = toMusicXml({ tune: TUNE, passes: [{ name: 'Pass 1', strokes: {} }, VARIED] });

/** What an independent reader of XML (libxml2) makes of a path. */
function asked(text: string, path: string): unknown {
  const document = XmlDocument.fromString(text);
  try {
    const found = document.eval(path);
    return Array.isArray(found) ? found.map(({ content }) => content).join(' ') : found;
  } finally {
    document.dispose();
  }
}

const tab = (number: number) => `//measure[@number='${number}']/note[staff='2']`;
const technical = (number: number) => `${tab(number)}/notations/technical`;

describe('an export holds, as an independent reader finds it', () => {
  // Source: MusicXML 4.0 (W3C), elements staff-details, staff-tuning, capo, technical, slide, repeat, ending, harmony.
  test.each<readonly [what: string, path: string, value: string | number | boolean]>([
    ['a notation staff an octave up and a tab staff', "string(//clef[@number='2']/sign)", 'TAB'],
    ['the octave of the notation staff', "string(//clef[@number='1']/clef-octave-change)", '-1'],
    ['five lines', 'string(//staff-details/staff-lines)', '5'],
    ['the tuning from the bottom line up', '//staff-tuning/tuning-step', 'G C G C D'],
    ['its octaves', '//staff-tuning/tuning-octave', '4 3 3 4 4'],
    ['the capo', 'string(//staff-details/capo)', '2'],
    [
      'how the banjo is set up, in words',
      "count(//words[contains(., 'double C, gCGCD, capo at 2')])",
      1,
    ],
    ['strings', `${technical(1)}/string`, '1 3 2 1 5 3 3 2 1 5'],
    ['frets', `${technical(1)}/fret`, '0 0 0 0 0 0 0 0 0 0'],
    // Source: frets.com: neck fret 7 of the fifth string sounds two semitones above its open sound.
    ['a fret of the drone from its own nut', `${technical(2)}[string='5']/fret`, '0 2'],
    ['a hammer-on from', `count(${technical(2)}/hammer-on[@type='start'])`, 1],
    ['a hammer-on to', `${technical(2)}[hammer-on[@type='stop']]/fret`, '2'],
    ['a pull-off from', `${technical(2)}[pull-off[@type='start']]/fret`, '2'],
    ['a pull-off to', `${technical(2)}[pull-off[@type='stop']]/fret`, '0'],
    ['its letters', `${technical(2)}/*[@type='start']`, 'H P'],
    ['a slide from', `${tab(3)}[notations/slide[@type='start']]/notations/technical/fret`, '2'],
    ['a slide to', `${tab(3)}[notations/slide[@type='stop']]/notations/technical/fret`, '4'],
    [
      'which finger holds a fret',
      `count(${technical(3)}[fret='2']/fingering[number() >= 1 and number() <= 4])`,
      1,
    ],
    ['no finger on an open string', `count(${technical(1)}/fingering)`, 0],
    ['the thumb', `${technical(3)}[pluck='p']/string`, '5 2 5'],
    ['a dropped thumb as a word', "//measure[@number='3']/direction[staff='2']//words", 'T'],
    ['and nowhere else', "count(//measure/direction[staff='2'])", 1],
    ['a brush', `count(${tab(1)}[notations/arpeggiate])`, 6],
    ['a stopped brush', `count(${tab(4)}[notehead='x'])`, 4],
    [
      'a triplet as three in the time of two',
      `count(${tab(4)}[time-modification[actual-notes='3' and normal-notes='2']])`,
      3,
    ],
    ['a pluck of the fretting hand', `${technical(5)}[other-technical]/string`, '2'],
    ['the chords', '//harmony/root/root-step', 'D A'],
    ['a later chord at its moment', "string(//harmony[kind='dominant']/offset)", '960'],
    ['the letter of the part', '//rehearsal', 'A'],
    ['where a repeat begins', "string(//measure[.//repeat[@direction='forward']]/@number)", '1'],
    ['where it ends', "string(//measure[.//repeat[@direction='backward']]/@number)", '4'],
    ['the first ending', "string(//measure[@number='4']//ending[@type='start']/@number)", '1'],
    ['the second ending', "string(//measure[@number='5']//ending[@type='start']/@number)", '2'],
    ['the tempo in quarters', 'string(//sound/@tempo)', '200'],
    ['the title', 'string(//work-title)', 'All of it'],
  ])('%s', (_, path, value) => {
    expect(asked(xml, path)).toEqual(value);
  });

  test('the embellishments as they are played, pass after pass', () => {
    expect(asked(passes, "//words[starts-with(., 'Pass')]")).toBe('Pass 1 Pass 2');
    const first = "//note[staff='2'][.//hammer-on[@type='stop']]/notations/technical";
    expect(asked(xml, `${first}/string`)).toBe('3 3');
    expect(asked(passes, `${first}/string`)).toBe('3 3 1 3 3');
    expect(asked(passes, 'count(//measure)')).toBe(10);
  });

  test('nothing that the schema refuses', () => {
    expect(schemaProblems(xml)).toEqual([]);
    expect(schemaProblems(passes)).toEqual([]);
  });
});
