import { describe, expect, it } from 'vitest';
import { orderFrom, tempoFrom } from '../../lib/formats/abc/fields';
import { keyFrom } from '../../lib/formats/abc/key';
import { tupletTime } from '../../lib/formats/abc/lengths';
import { readAbc } from '../../lib/formats/abc/read';
import { meterNamed } from '../../lib/rhythm';

// Source of all values here, unless named beside them: the ABC 2.1 standard (abcnotation.com, December 2011), by section.

function melodyFrom(text: string) {
  const result = readAbc(text);
  if (!result.ok) throw new Error(result.problems.map(({ words }) => words).join(' '));
  return result.value.melody;
}

/** The notes of a piece of music; what is left of its last measure is filled with a rest. */
function notesOf(music: string, head: { unit?: string; meter?: string; key?: string } = {}) {
  const { unit = '1/8', meter = '4/4', key = 'C' } = head;
  const melody = melodyFrom(`X:1\nM:${meter}\nL:${unit}\nK:${key}\n${music}\n`);
  return melody.parts.flatMap((part) => part.measures.flatMap((measure) => measure.notes));
}

function lengthsOf(music: string, head = {}): readonly number[] {
  return notesOf(music, head).map(({ length }) => length);
}

function pitchesOf(music: string, head = {}): readonly number[] {
  return notesOf(music, head).map(({ midi }) => midi);
}

const QUARTER = 480;

describe('note lengths (4.3), quarter = 480 ticks', () => {
  const cases: readonly (readonly [string, string, readonly number[]])[] = [
    ['A z3 z12', '1/16', [QUARTER / 4]],
    ['A2 z2 z12', '1/16', [QUARTER / 2]],
    ['A3 z z12', '1/16', [(QUARTER * 3) / 4]],
    ['A4 z12', '1/16', [QUARTER]],
    ['A7 z z8', '1/16', [(QUARTER * 7) / 4]],
    ['A15 z', '1/16', [(QUARTER * 15) / 4]],
    ['A/2 z/2 z7', '1/8', [QUARTER / 4]],
    ['A/ z/ z7', '1/8', [QUARTER / 4]],
    ['A3/2 z/ z6', '1/8', [(QUARTER * 3) / 4]],
    ['A// z3/4 z7', '1/8', [QUARTER / 8]],
    ['A/4 z3/4 z7', '1/8', [QUARTER / 8]],
  ];
  it.each(cases)('%s with L:%s', (music, unit, expected) => {
    expect(lengthsOf(music, { unit })).toEqual(expected);
  });
});

describe('default unit length (3.1.7): a sixteenth below 0.75, else an eighth', () => {
  const cases: readonly (readonly [string, string, number])[] = [
    ['2/4', 'A8', 120],
    ['4/4', 'A8', 240],
    ['6/8', 'A6', 240],
    ['3/4', 'A6', 240],
    ['C', 'A8', 240],
    ['C|', 'A8', 240],
  ];
  it.each(cases)('M:%s', (meter, music, unit) => {
    const melody = melodyFrom(`X:1\nM:${meter}\nK:C\n${music}|\n`);
    const [note] = melody.parts[0]?.measures[0]?.notes ?? [];
    expect((note?.length ?? 0) / Number(music.slice(1))).toBe(unit);
  });
});

describe('broken rhythm (4.4)', () => {
  const plain = lengthsOf('a3b cd3 a2b2 c2d2', { unit: '1/16' });
  it('a3b cd3 in sixteenths is written out as lengths', () => {
    expect(plain).toEqual([360, 120, 120, 360, 240, 240, 240, 240]);
  });
  it.each([
    ['a3/2b/2 c/2d3/2 abcd', plain],
    ['a>b c<d abcd', plain],
    ['a>>b z6', [420, 60]],
    ['a>>>b z6', [450, 30]],
    ['a<<b z6', [60, 420]],
    // Grace notes are transparent: A<{g}A = A{g}<A = A/2{g}A3/2.
    ['A<{g}A z6', [120, 360]],
    ['A{g}<A z6', [120, 360]],
    ['A/2{g}A3/2 z6', [120, 360]],
  ])('%s', (music, expected) => {
    expect(lengthsOf(music)).toEqual(expected);
  });
});

describe('tuplets (4.13)', () => {
  it('the table of times, simple and compound', () => {
    const simple = [2, 3, 4, 5, 6, 7, 8, 9].map((p) => tupletTime(p, meterNamed('4/4')));
    const compound = [2, 3, 4, 5, 6, 7, 8, 9].map((p) => tupletTime(p, meterNamed('6/8')));
    expect(simple).toEqual([3, 2, 3, 2, 2, 2, 3, 2]);
    expect(compound).toEqual([3, 2, 3, 3, 2, 3, 3, 3]);
  });
  it.each([
    ['(3ABc z6', [160, 160, 160]],
    ['(3::ABc z6', [160, 160, 160]],
    ['(3:2ABc z6', [160, 160, 160]],
    ['(3:2:3ABc z6', [160, 160, 160]],
    ['(3::2AB z20/3', [160, 160]],
    ['(3:2:2AB z20/3', [160, 160]],
    ['(3:2:2 G4c2 z4', [640, 320]],
    ['(3:2:4 G2A2Bc z4', [320, 320, 160, 160]],
    ['(3 D2E2F2 z4', [320, 320, 320]],
    // A dotted eighth, a sixteenth... as written: 3, 1 and 2 units, each in 2/3 of its time.
    ['(3D3EF2 z4', [480, 160, 320]],
  ])('%s', (music, expected) => {
    expect(lengthsOf(music)).toEqual(expected);
  });
  it('a quintuplet falls on whole ticks and fills its time', () => {
    const lengths = lengthsOf('(5ABcde z4 z2');
    expect(lengths.reduce((sum, length) => sum + length, 0)).toBe(2 * 240);
    expect(lengths.every(Number.isInteger)).toBe(true);
  });
});

describe('octaves (4.1): C is middle C, MIDI 60', () => {
  it.each([
    ['C8', 60],
    ['c8', 72],
    ["C'8", 72],
    ["c'8", 84],
    ['C,8', 48],
    ["C,',8", 48],
  ])('%s', (music, midi) => {
    expect(pitchesOf(music)).toEqual([midi]);
  });
});

describe('key signatures (3.1.14)', () => {
  const rows: readonly (readonly [string, readonly string[]])[] = [
    ['', ['C', 'Am', 'GMix', 'DDor', 'EPhr', 'FLyd', 'BLoc']],
    ['F', ['G', 'Em', 'DMix', 'ADor', 'BPhr', 'CLyd']],
    ['CF', ['D', 'Bm', 'AMix', 'EDor', 'GLyd']],
    ['CFG', ['A', 'F#m', 'EMix', 'BDor', 'DLyd']],
    ['B', ['F', 'Dm', 'CMix', 'GDor']],
    ['BE', ['Bb', 'Gm', 'FMix', 'CDor']],
  ];
  const cases = rows.flatMap(([letters, keys]) => keys.map((key) => [key, letters] as const));
  it.each(cases)('K:%s changes %s', (key, letters) => {
    const signature = keyFrom(key)?.signature ?? new Map();
    expect([...signature.keys()].sort()).toEqual([...letters].sort());
  });
  it.each([
    ['G', 'major'],
    ['Gmajor', 'major'],
    ['G ionian', 'major'],
    ['AMIXOLYDIAN', 'mixolydian'],
    ['A mixo', 'mixolydian'],
    ['Am', 'minor'],
    ['A minor', 'minor'],
    ['Aaeo', 'minor'],
    ['Ador clef=treble', 'dorian'],
  ])('K:%s is %s', (key, mode) => {
    expect(keyFrom(key)?.key.mode).toBe(mode);
  });
  it('K:D =c has the signature of D mixolydian, and is called so', () => {
    expect(keyFrom('D =c')?.key).toEqual({ tonic: 'D', mode: 'mixolydian' });
  });
  it('K:D Phr ^f is K:D exp _b _e ^f: two flats and one sharp', () => {
    const entries = (key: string) =>
      [...(keyFrom(key)?.signature ?? [])].filter(([, n]) => n !== 0).sort();
    expect(entries('D Phr ^f')).toEqual([
      ['B', -1],
      ['E', -1],
      ['F', 1],
    ]);
    expect(entries('D exp _b _e ^f')).toEqual(entries('D Phr ^f'));
  });
  it('K:none and an empty K: have no signature', () => {
    expect(keyFrom('none')?.signature.size).toBe(0);
    expect(keyFrom('')?.signature.size).toBe(0);
  });
});

describe('signs before notes (4.2, 11.3): to the end of the bar, by default in all octaves', () => {
  const music = '^F2 F2 f2 =f2|F8|';
  it.each([
    ['', [66, 66, 78, 77, 65]],
    ['%%propagate-accidentals octave\n', [66, 66, 77, 77, 65]],
    ['%%propagate-accidentals not\n', [66, 65, 77, 77, 65]],
  ])('%s', (directive, expected) => {
    const melody = melodyFrom(`X:1\nM:4/4\nL:1/8\n${directive}K:C\n${music}\n`);
    const notes = melody.parts.flatMap((part) => part.measures.flatMap((m) => m.notes));
    expect(notes.map(({ midi }) => midi)).toEqual(expected);
  });
});

describe('the order of parts in the header (3.1.9)', () => {
  it.each([
    ['A3', 'AAA'],
    ['(AB)3', 'ABABAB'],
    ['AABB', 'AABB'],
    ['((AB)2C)2', 'ABABCABABC'],
    ['A.B', 'AB'],
  ])('P:%s', (text, expected) => {
    expect(orderFrom(text)?.join('')).toBe(expected);
  });
  it.each(['', '(AB', 'AB)', 'A?'])('P:%s is none', (text) => {
    expect(orderFrom(text)).toBeUndefined();
  });
});

describe('tempo (3.1.8), in half notes a minute in 2/2', () => {
  it.each([
    ['1/2=100', 100],
    ['1/4=120', 60],
    ['"Lively" 1/4=120', 60],
    // 1/4 3/8 1/4 3/8=40 plays as 5/4=40.
    ['1/4 3/8 1/4 3/8=40', 100],
    ['240', 60],
  ])('Q:%s', (text, expected) => {
    expect(tempoFrom(text, meterNamed('2/2'), 240)).toBe(expected);
  });
  it('words alone are no tempo', () => {
    expect(tempoFrom('"Lively"', meterNamed('2/2'), 240)).toBeUndefined();
  });
});

describe('chords (4.17) and rests', () => {
  it('[C2E2G2]3 is as long as [CEG]6, and the highest note is taken', () => {
    expect(notesOf('[C2E2G2]3 z2')).toEqual(notesOf('[CEG]6 z2'));
    expect(notesOf('[CEG]6 z2')).toEqual([{ at: 0, length: 1440, midi: 67 }]);
  });
  it('a chord lasts as long as its first note', () => {
    expect(lengthsOf('[C2E4]z6')).toEqual([480]);
  });
  it('Z4 is four measures of rest', () => {
    expect(melodyFrom('X:1\nM:4/4\nK:C\nC8|Z4|C8|\n').parts[0]?.measures).toHaveLength(6);
  });
});
