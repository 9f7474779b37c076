import { describe, expect, it } from 'vitest';
import { alternatives, arrange } from '../../../lib/arrange/arrange';
import { DEMO_ABC } from '../../../lib/demo-tune';
import { readAbc } from '../../../lib/formats/abc/read';
import type { Melody } from '../../../lib/melody';
import { neckOf, tuningById } from '../../../lib/tuning';

function melodyFrom(text: string): Melody {
  const result = readAbc(text);
  if (!result.ok) throw new Error(result.problems.map(({ words }) => words).join(' '));
  return result.value.melody;
}

function scaleIn(key: string, music: string): Melody {
  return melodyFrom(`X:1\nT:Try\nM:4/4\nL:1/4\nK:${key}\n${music}\n`);
}

/** Degrees 1 3 5 3, 1 2 3 1, 5 4 3 2, 1: a tune that shows its key. */
const TUNES: readonly (readonly [string, string, string])[] = [
  ['G', 'GBdB|GABG|dcBA|G4|', 'gDGBD 0'],
  ['C', 'CEGE|CDEC|GFED|C4|', 'gCGCD 0'],
  ['D', 'DFAF|DEFD|AGFE|D4|', 'aDADE 0'],
  ['A', 'Acec|ABcA|edcB|A4|', 'gDGBD 2'],
  ['Ador', 'Acec|ABcA|edcB|AGEG|A4|', 'gDGCD 2'],
  ['Gmix', 'GBdf|GABG|dcBA|G4|', 'gDGBD 0'],
];

describe('the neck that is taken when nobody asks for one', () => {
  // Which tuning players take for a key: common practice, no source.
  it.each(TUNES)('%s: %s', (key, music, expected) => {
    const result = arrange(scaleIn(key, music));
    const neck = result.ok ? result.value.tune.neck : undefined;
    expect(`${neck?.tuning.id} ${neck?.capo}`).toBe(expected);
  });
});

describe('the alternatives', () => {
  it('of the demo tune begin with open G, first position', () => {
    const [first] = alternatives(melodyFrom(DEMO_ABC));
    expect(first?.words).toBe(
      'gDGBD, open G, an octave down: all notes within the first four frets, 39 of them open',
    );
    expect([first?.kept, first?.of, first?.transpose]).toEqual([60, 60, -12]);
  });
  it('in the own key are in order of effort, each neck once', () => {
    const all = alternatives(melodyFrom(DEMO_ABC)).filter(({ transpose }) => transpose % 12 === 0);
    const efforts = all.map(({ effort }) => effort);
    expect(efforts).toEqual(efforts.toSorted((a, b) => a - b));
    expect(new Set(all.map(({ neck }) => `${neck.tuning.id} ${neck.capo}`)).size).toBe(all.length);
  });
  it('of no notes are none', () => {
    expect(alternatives({ ...melodyFrom(DEMO_ABC), parts: [] })).toEqual([]);
  });
});

describe('the demo tune', () => {
  const result = arrange(melodyFrom(DEMO_ABC));
  it('is read without a remark and kept whole', () => {
    const read = readAbc(DEMO_ABC);
    expect(read.ok && read.value.remarks).toEqual([]);
    expect(result.ok && [result.value.kept, result.value.moved, result.value.remarks]).toEqual([
      60,
      0,
      [],
    ]);
  });
  it('is AABB, eight measures a part', () => {
    expect(result.ok && result.value.tune.form.join('')).toBe('AABB');
    expect(result.ok && result.value.tune.parts.map(({ measures }) => measures.length)).toEqual([
      8, 8,
    ]);
  });
});

describe('a melody that does not lie on the neck', () => {
  const openG = tuningById('gDGBD');
  const neck = openG && neckOf(openG);
  it.each([
    [
      'too low where it stands',
      scaleIn('G', 'G,,B,,D,B,,|G,,4|'),
      0,
      '4 of 5 notes lie outside this neck at this pitch. Try gDGBD, open G, an octave up: all notes on open strings.',
    ],
    [
      'too wide for any neck',
      scaleIn('G', "G,,Gg'g''|G4|"),
      undefined,
      '2 of 5 notes lie outside this neck at this pitch. Try another octave, tuning or capo.',
    ],
  ] as const)('%s', (_name, melody, transpose, words) => {
    const options = {
      ...(neck ? { neck } : {}),
      ...(transpose === undefined ? {} : { transpose }),
    };
    const result = arrange(melody, options);
    expect(result.ok ? [] : result.problems.map((problem) => problem.words)).toEqual([words]);
  });
  it('a melody without notes is refused', () => {
    const result = arrange({ ...melodyFrom(DEMO_ABC), parts: [] });
    expect(result.ok ? [] : result.problems.map(({ code }) => code)).toEqual(['no-notes']);
  });
  it('another key is another key: chords and key move too', () => {
    const result = arrange(melodyFrom(DEMO_ABC), { transpose: -7 });
    expect(result.ok && result.value.tune.key.tonic).toBe('C');
    expect(result.ok && result.value.tune.parts[0]?.measures[0]?.chord).toBe('C');
  });
});
