import { describe, expect, it } from 'vitest';
import { readAbc } from '../../../../lib/formats/abc/read';
import { toAbc } from '../../../../lib/formats/abc/write';
import type { StructureChange } from '../../../../lib/structure/change';
import { restructured } from '../../../../lib/structure/change';
import type { Layout } from '../../../../lib/structure/layout';
import { tuneOf } from '../../../../lib/structure/layout';
import type { MeasureId } from '../../../../lib/units';
import { editedTune, layoutOf } from '../../../kit/layouts';

/** Each measure as where it begins in its bar and its length, in ticks; then the form. Or what is wrong, with its place. */
function outline(music: string, head = 'M:4/4\n'): string {
  const read = readAbc(`X:1\nT:Try\n${head}L:1/8\nK:G\n${music}\n`);
  if (!read.ok)
    return read.problems
      .map(({ code, where, words }) => `${code} ${where.line}:${where.column} ${words}`)
      .join(' ');
  const { parts, form } = read.value.melody;
  const shown = parts.map(({ letter, measures }) => {
    const bars = measures.map(({ startsAt, ticks, endings }) => {
      const times = endings ? `[${endings}]` : '';
      return `${startsAt === 0 ? '' : `${startsAt}+`}${ticks}${times}`;
    });
    return `${letter}:${bars.join(' ')}`;
  });
  return `${shown.join('; ')}; ${form.join('')}`;
}

// Source: ABC 2.1, sections 3.1.6 (M:) and 3.2 (fields inside a tune), from memory. That a bar names its length by a meter of its own and
// the tune's meter comes back after it is how crooked tunes are written down: common practice, no source.
describe('bars of another length name a meter of their own', () => {
  it.each([
    ['one bar', 'G8|[M:3/4]G6|[M:4/4]G8|', 'A:1920 1440 1920; A'],
    ['lines of their own', 'G8|\nM:2/4\nG4|\nM:4/4\nG8|', 'A:1920 960 1920; A'],
    ['several bars', 'G8|[M:2/4]G4|A4|[M:5/8]G5|[M:C]G8|', 'A:1920 960 960 1200 1920; A'],
    ['a sum of beats', '[M:(2+3)/8]G5|[M:4/4]G8|', 'A:1200 1920; A'],
    ['at the end, and the meter comes back after it', '|:G8|[M:3/4]G6:|[M:4/4]', 'A:1920 1440; AA'],
    ['at the beginning it is no pickup', '[M:1/4]G2|[M:4/4]G8|', 'A:480 1920; A'],
    ['before a repeat it is a part', '[M:1/4]G2|:[M:4/4]G8:|', 'A:480; B:1920; ABB'],
    ['a pickup beside it', 'G2|:G8|[M:2/4]G4|[M:4/4]G6:|', 'A:1440+480[1] 1920 960 1440; AA'],
    ['in an ending', '|:G8|1[M:2/4]G4:|2[M:4/4]G8|]', 'A:1920 960[1] 1920[2]; AA'],
    ['rests by the bar', 'G8|[M:2/4]Z2|[M:4/4]G8|', 'A:1920 960 960 1920; A'],
    ['five notes in the time of three', '[M:6/8](5GABcd G3|[M:4/4]G8|', 'A:1440 1920; A'],
  ])('%s', (_name, music, expected) => {
    expect(outline(music)).toBe(expected);
  });

  it.each([
    [
      'a bar that is shorter than it tells',
      'G8|[M:3/4]G5|[M:4/4]G8|',
      'measure-short 6:11 Measure 2 is 1 eighth too short for 3/4. Make a note longer or add a rest.',
    ],
    [
      'a bar that is longer than it tells',
      'G8|[M:3/4]G8|[M:4/4]G8|',
      'measure-long 6:11 Measure 2 is 2 eighths too long for 3/4. Shorten a note or set a bar line.',
    ],
    [
      'a short bar after the meter came back',
      'G8|[M:3/4]G6|[M:4/4]G6|G8|',
      'measure-short 6:21 Measure 3 is 2 eighths too short for 4/4. Make a note longer or add a rest.',
    ],
    [
      'a meter that does not come back',
      'G8|[M:3/4]G6|G6|',
      'meter-change 6:4 The meter changes to 3/4. A board keeps one meter from start to end: 4/4 here.',
    ],
    [
      'a longer bar',
      'G8|[M:6/4]G12|[M:4/4]G8|',
      "meter-change 6:4 The meter changes to 6/4. A measure is no longer than the tune's meter, 4/4 here: write this bar as two.",
    ],
    [
      'another meter of the same length',
      'G8|[M:2/2]G8|[M:4/4]G8|',
      'meter-change 6:4 The meter changes to 2/2. A board keeps one meter from start to end: 4/4 here.',
    ],
    [
      'no meter',
      'G8|[M:none]G5|[M:4/4]G8|',
      'meter-change 6:4 The meter changes to none. A board keeps one meter from start to end: 4/4 here.',
    ],
    [
      'a meter of no ticks',
      'G8|[M:1/7]G|[M:4/4]G8|',
      'meter-change 6:4 The meter changes to 1/7. A board keeps one meter from start to end: 4/4 here.',
    ],
  ])('refused: %s', (_name, music, expected) => {
    expect(outline(music)).toBe(expected);
  });
});

describe('parts that come back written out under their names', () => {
  it.each([
    ['the same music is one part', 'P:A\nG8|\nP:B\nA8|\nP:A\nG8|', 'A:1920; B:1920; ABA'],
    ['however often in a row', 'P:A\n|:G8:|\nP:B\nA8|\nP:A\nG8|', 'A:1920; B:1920; AABA'],
    [
      'with endings that count on',
      'P:A\n|:G8|1A8:|2B8|]\nP:B\nc8|\nP:A\n|:G8|1A8:|2B8|]',
      'A:1920 1920[1,3] 1920[2,4]; B:1920; AABAA',
    ],
    ['other music is another part', 'P:A\nG8|\nP:B\nA8|\nP:A\nB8|', 'A:1920; B:1920; C:1920; ABC'],
  ])('%s', (_name, music, expected) => {
    expect(outline(music)).toBe(expected);
  });
});

/** A tune of four bars and two endings after some changes, as its lines of music. */
function written(...changes: readonly StructureChange[]): readonly string[] {
  const tune = editedTune(0);
  const layout = changes.reduce((before: Layout, change) => {
    const made = restructured(before, change);
    if (!made.ok) throw new Error(made.problems[0]?.words);
    return made.value.layout;
  }, layoutOf(tune));
  return toAbc({ ...tune, ...tuneOf(layout) })
    .split('\n')
    .slice(6, -1);
}

describe('what leaders make crooked is written with the meters that say so', () => {
  const length = (measure: string, slots: number): StructureChange => ({
    kind: 'length',
    measure: measure as MeasureId,
    ticks: slots * 240,
  });
  it.each<[string, readonly StructureChange[], readonly string[]]>([
    [
      'a measure in the middle',
      [length('m2', 6)],
      [
        '|: "G"B,2 D2 D2 B,2 | [M:3/4]"C"C2 E2 "D"D2 | [M:4/4]"G"B,2 G,2 A,2 B,2 | [1 "G"G,6 D,2 :|',
        '[2 "G"G,8 |]',
      ],
    ],
    [
      'the last one',
      [length('m5', 5)],
      [
        '|: "G"B,2 D2 D2 B,2 | "C"C2 E2 "D"D2 C2 | "G"B,2 G,2 A,2 B,2 | [1 "G"G,6 D,2 :|',
        '[2 [M:5/8]"G"G,5 |] [M:4/4]',
      ],
    ],
    [
      'a pickup and the room for it need no meter',
      [{ kind: 'pickup', part: 'A', slots: 2, id: 'p' as MeasureId }],
      [
        '|: z2 | "G"B,2 D2 D2 B,2 | "C"C2 E2 "D"D2 C2 | "G"B,2 G,2 A,2 B,2 |',
        '[1 "G"G,6 :| [2 "G"G,6 |]',
      ],
    ],
    [
      'a measure in two pieces is one bar',
      [{ kind: 'split', measure: 'm2' as MeasureId, at: 960 }],
      [
        '|: "G"B,2 D2 D2 B,2 | "C"C2 E2 "D"D2 C2 | "G"B,2 G,2 A,2 B,2 |',
        '[1 "G"G,6 D,2 :| [2 "G"G,8 |]',
      ],
    ],
    [
      'a third time without an ending of its own: written out, since nobody would know when to go on',
      [{ kind: 'order', form: ['A', 'A', 'A'] }],
      [
        '"G"B,2 D2 D2 B,2 | "C"C2 E2 "D"D2 C2 | "G"B,2 G,2 A,2 B,2 | "G"G,6 D,2 ||',
        '"G"B,2 D2 D2 B,2 | "C"C2 E2 "D"D2 C2 | "G"B,2 G,2 A,2 B,2 | "G"G,8 ||',
        '"G"B,2 D2 D2 B,2 | "C"C2 E2 "D"D2 C2 | "G"B,2 G,2 A,2 B,2 |]',
      ],
    ],
  ])('%s', (_name, changes, expected) => {
    expect(written(...changes)).toEqual(expected);
  });
});
