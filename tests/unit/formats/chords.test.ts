import { describe, expect, test } from 'vitest';
import { arrange } from '../../../lib/arrange/arrange';
import { readAbc } from '../../../lib/formats/abc/read';
import { toAbc } from '../../../lib/formats/abc/write';
import type { Melody } from '../../../lib/melody';
import type { ChordChange } from '../../../lib/tune';
import { chordInForce, chordsOf } from '../../../lib/tune';
import { harmonyOf } from '../../../lib/tune-kept';
import { neckOf, tuningById } from '../../../lib/tuning';
import { bar } from '../../kit/tab';

function melodyOf(body: string): { readonly melody: Melody; readonly remarks: readonly string[] } {
  const read = readAbc(`X:1\nT:t\nM:4/4\nL:1/8\nK:G\n${body}\n`);
  if (!read.ok) throw new Error(read.problems[0]?.words);
  return read.value;
}

function chordsIn(body: string): readonly (readonly ChordChange[])[] {
  return melodyOf(body).melody.parts.flatMap(({ measures }) => measures.map(chordsOf));
}

const openG = tuningById('gDGBD');
if (!openG) throw new Error('no open G');

const at = (ticks: number, symbol: string): ChordChange => ({ at: ticks, symbol });

describe('chords inside a measure', () => {
  // Source: ABC 2.1, section 4.18: a chord symbol stands before the note under which it begins.
  test.each<readonly [string, readonly (readonly ChordChange[])[]]>([
    ['"G"G4"C"G4|', [[at(0, 'G'), at(960, 'C')]]],
    ['G2"C"G2"D7"G4|"G"G8|', [[at(480, 'C'), at(960, 'D7')], [at(0, 'G')]]],
    ['"G"G4"G"G4|', [[at(0, 'G')]]],
    ['"G"G4"C""D"G4|', [[at(0, 'G'), at(960, 'D')]]],
    ['"G"G8"D"|G8|', [[at(0, 'G')], []]],
  ])('%s', (body, chords) => expect(chordsIn(body)).toEqual(chords));

  test('the brush takes the chord that holds when it is struck', () => {
    const { melody } = melodyOf('"G"G8|"G"G4"C"c4|');
    const arranged = arrange(melody);
    if (!arranged.ok) throw new Error('not arranged');
    const [, second] = arranged.value.tune.parts[0]?.measures ?? [];
    expect(second && chordsOf(second)).toEqual([at(0, 'G'), at(960, 'C')]);
    const brushes = second?.strokes.filter(({ by }) => by === 'brush') ?? [];
    const classes = brushes.map(({ notes }) =>
      notes.map(({ string, fret }) => `${string}.${fret}`),
    );
    expect(classes[0]).not.toEqual(classes[1]);
  });

  test('another key moves every one of them', () => {
    const arranged = arrange(melodyOf('"G"G4"C"G4|').melody, { transpose: 2 });
    if (!arranged.ok) throw new Error('not arranged');
    const [first] = arranged.value.tune.parts[0]?.measures ?? [];
    expect(first && chordsOf(first)).toEqual([at(0, 'A'), at(960, 'D')]);
  });

  test('ABC ties a note over a chord that changes while it sounds', () => {
    const arranged = arrange(melodyOf('"G"G8|').melody);
    if (!arranged.ok) throw new Error('not arranged');
    const { tune } = arranged.value;
    const parts = tune.parts.map((part) => ({
      ...part,
      measures: part.measures.map((one) => ({ ...one, chords: [at(960, 'C')] })),
    }));
    const text = toAbc({ ...tune, parts });
    expect(text).toContain('- "C"');
    const read = readAbc(text);
    const [measure] = (read.ok && read.value.melody.parts[0]?.measures) || [];
    expect(measure?.notes.length).toBe(1);
    expect(measure && chordsOf(measure)).toEqual([at(0, 'G'), at(960, 'C')]);
  });

  test('what is added is judged by the chord of its moment', () => {
    const plain = bar('4/4', 's3 . b123 t5 s3 . b123 t5');
    const context = {
      plain,
      neck: neckOf(openG, 0),
      key: { tonic: 'G', mode: 'major' as const },
      chord: 'G',
      chords: [at(960, 'C'), at(1440, 'what?')],
    };
    const harmony = harmonyOf(context, []);
    expect([0, 720, 960, 1680].map((ticks) => harmony(ticks).symbol)).toEqual(['G', 'G', 'C', 'C']);
  });

  test('the last chord named holds on into the next measures', () => {
    const row = [{ chord: 'G', chords: [at(960, 'C')] }, {}, { chord: 'D' }, {}];
    expect(row.map((_, i) => chordInForce(row, i))).toEqual(['G', 'C', 'D', 'D']);
    expect(chordInForce([{}], 0)).toBeUndefined();
  });
});
