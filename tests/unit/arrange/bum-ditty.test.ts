import { describe, expect, it } from 'vitest';
import { arrange } from '../../../lib/arrange/arrange';
import { readAbc } from '../../../lib/formats/abc/read';
import { neckOf, tuningById } from '../../../lib/tuning';

const LETTERS = { strike: 's', brush: 'b', thumb: 't', hammer: 'h', pull: 'p', rest: 'r' } as const;

function letterOf(by: string): string {
  return Object.entries(LETTERS).find(([name]) => name === by)?.[1] ?? '?';
}

/** Open G, as written an octave below: each stroke as its letter, its length in slots, its strings and frets. */
function arranged(music: string, meter = '4/4') {
  const read = readAbc(`X:1\nT:Try\nM:${meter}\nL:1/8\nK:G\n${music}\n`);
  const tuning = tuningById('gDGBD');
  if (!read.ok || !tuning) throw new Error('the melody cannot be read');
  const result = arrange(read.value.melody, { neck: neckOf(tuning), transpose: -12 });
  if (!result.ok) throw new Error(result.problems.map(({ words }) => words).join(' '));
  return result.value;
}

function tabOf(music: string, meter = '4/4'): readonly string[] {
  const { tune } = arranged(music, meter);
  return tune.parts.flatMap(({ measures }) =>
    measures.map(({ strokes }) =>
      strokes
        .map(({ by, length, notes }) => {
          const slots = Math.round((length / tune.meter.slot) * 100) / 100;
          const where = notes.map(({ string, fret }) => `${string}.${fret}`).join('+');
          return `${letterOf(by)}${slots}${where && `:${where}`}`;
        })
        .join(' '),
    ),
  );
}

// The patterns are the trade's: common practice, no source.
describe('the bum-ditty around a melody', () => {
  const ditty = 'b1:1.0+2.0+3.0 t1:5.0';
  it.each([
    ['a half note is strike, brush, thumb', '"G"G4 B4', '4/4', [`s2:3.0 ${ditty} s2:2.0 ${ditty}`]],
    [
      'two quarters are strike, strike, thumb',
      '"G"G2 B2 d2 B2',
      '4/4',
      ['s2:3.0 s1:2.0 t1:5.0 s2:1.0 s1:2.0 t1:5.0'],
    ],
    [
      'a note that lasts into the next bum-ditty is struck again',
      '"G"G8',
      '4/4',
      [`s2:3.0 ${ditty} s2:3.0 ${ditty}`],
    ],
    ['in 3/4 another brush and thumb follow', '"G"G6', '3/4', [`s2:3.0 ${ditty} ${ditty}`]],
    [
      'in 6/8 each half is strike, brush, thumb',
      '"G"G3 B3',
      '6/8',
      [`s1:3.0 ${ditty} s1:2.0 ${ditty}`],
    ],
    ['in 2/4 the slots are sixteenths', '"G"G2 B2', '2/4', [`s2:3.0 ${ditty} s2:2.0 ${ditty}`]],
    [
      'the drone on an up slot is the thumb',
      '"G"G3 g B4',
      '4/4',
      [`s2:3.0 ${ditty} s2:2.0 ${ditty}`],
    ],
    [
      'an eighth on a lower string is a drop thumb',
      '"G"BGBG B4',
      '4/4',
      ['s1:2.0 t1:3.0 s1:2.0 t1:3.0 s2:2.0 '.concat(ditty)],
    ],
    [
      'a higher eighth on the same string is a hammer-on',
      '"D7"AB A2 A4',
      '4/4',
      ['s1:3.2 h1:3.4 s1:3.2 t1:5.0 s2:3.2 b1:1.0+2.1+3.2 t1:5.0'],
    ],
    [
      'a lower one is a pull-off',
      '"G"cB G2 G4',
      '4/4',
      [`s1:2.1 p1:2.0 s1:3.0 t1:5.0 s2:3.0 ${ditty}`],
    ],
    [
      'after a dotted note the brush sounds the string that is hammered',
      '"G"d3 e d4',
      '4/4',
      [`s2:1.0 b1:1.0+2.0+3.0 h1:1.2 s2:1.0 ${ditty}`],
    ],
    [
      'the same note again on the way up is thumbed on the same string, below a brush',
      '"G"G2 G B3',
      '6/8',
      [`s1:3.0 b1:1.0+2.0 t1:3.0 s1:2.0 ${ditty}`],
    ],
    [
      'while an open string sounds the hand goes back to low frets',
      'g2 d2 c2 c2|A2 G6|',
      '4/4',
      ['s2:1.5 s1:1.0 t1:5.0 s2:2.1 s1:2.1 t1:5.0', `s2:3.2 s1:3.0 t1:5.0 s2:3.0 ${ditty}`],
    ],
    [
      'a tied note is not struck again',
      '"G"G8-|G8',
      '4/4',
      [`s2:3.0 ${ditty} s2:3.0 ${ditty}`, `r2 ${ditty} b2:1.0+2.0+3.0 ${ditty}`],
    ],
    [
      'a brush frets what the chord needs',
      '"C"c8',
      '4/4',
      ['s2:2.1 b1:2.1+3.0 t1:5.0 s2:2.1 b1:2.1+3.0 t1:5.0'],
    ],
    [
      'a pickup of a quarter is struck',
      '"G"G2|G8|G6|]',
      '4/4',
      ['s1:3.0 t1:5.0', `s2:3.0 ${ditty} s2:3.0 ${ditty}`, `s2:3.0 ${ditty} s2:3.0`],
    ],
    [
      'a pickup of an eighth is the thumb',
      '"G"D|G8|G7|]',
      '4/4',
      ['t1:4.0', `s2:3.0 ${ditty} s2:3.0 ${ditty}`, `s2:3.0 ${ditty} s2:3.0 b1:1.0+2.0+3.0`],
    ],
  ])('%s', (_name, music, meter, expected) => {
    expect(tabOf(music, meter)).toEqual(expected);
  });
});

describe('what cannot be kept is counted and said', () => {
  it.each([
    ['all kept', 'G2 B2 d4', [3, 3, 0], []],
    [
      'a pickup for the thumb',
      'D|G8|G7|]',
      [3, 3, 0],
      ['Measure m1: the pickup begins where the hand comes up, so the thumb plays it.'],
    ],
    [
      'a high note on an up slot, where the thumb does not go',
      "D3 g'2 D3",
      [3, 3, 1],
      ['Measure m1: the note on slot 4 is played on slot 3 instead.'],
    ],
    [
      'a note between slots with a free slot beside it',
      'D3/2 g/ D6',
      [3, 3, 1],
      ['Measure m1: the note just after slot 2 is played on slot 2 instead.'],
    ],
    [
      'a note between slots with no free slot beside it',
      'B/g/G D6',
      [3, 4, 0],
      [
        'Measure m1: the note just after slot 1 is left out, because it falls between two motions of the hand and its string does not ring yet.',
      ],
    ],
    ['triplets in both halves of a bum-ditty', '(3GAB (3ABc G4', [7, 7, 0], []],
    [
      'twice as many notes as a bum-ditty has slots: its skeleton',
      'G/A/B/c/d/e/d/c/ G4',
      [5, 9, 0],
      [
        'Measure m1 has more notes than a bum-ditty takes, so only its skeleton stays: four that fall between its slots are left out.',
      ],
    ],
  ])('%s', (_name, music, [kept, of, moved], remarks) => {
    const found = arranged(music);
    expect([found.kept, found.of, found.moved]).toEqual([kept, of, moved]);
    expect(found.remarks).toEqual(remarks);
  });
});
