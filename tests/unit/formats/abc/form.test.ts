import { describe, expect, it } from 'vitest';
import { readAbc } from '../../../../lib/formats/abc/read';

/** "A: C D | B: ... " each measure as its first note's letter, with its endings; then the form. */
function outline(music: string, head = ''): string {
  const result = readAbc(`X:1\nT:Try\nM:4/4\nL:1/8\n${head}K:C\n${music}\n`);
  if (!result.ok) return result.problems.map(({ code }) => code).join(' ');
  const { parts, form } = result.value.melody;
  const names = 'C.D.EF.G.A.B';
  const shown = parts.map(({ letter, measures }) => {
    const bars = measures.map(({ notes, endings, startsAt, ticks }) => {
      const short = startsAt > 0 ? '<' : ticks < 1920 ? '>' : '';
      return `${names[(notes[0]?.midi ?? 0) % 12]}${short}${endings ? `[${endings}]` : ''}`;
    });
    return `${letter}:${bars.join(' ')}`;
  });
  return `${shown.join('; ')}; ${form.join('')}`;
}

// Sources: ABC 2.1, sections 4.8 (repeats and bar lines), 4.9 and 4.10 (endings), 3.1.9 (P:).
describe('repeats, endings and parts', () => {
  it.each([
    ['no sign at all', 'C8|D8|', 'A:C D; A'],
    ['a repeat', '|:C8|D8:|', 'A:C D; AA'],
    ['a repeat without a start goes back to the beginning', 'C8|D8:|', 'A:C D; AA'],
    ['two repeats', '|:C8:|:D8:|', 'A:C; B:D; AABB'],
    ['::', '|:C8::D8:|', 'A:C; B:D; AABB'],
    [':|:', '|:C8:|:D8:|', 'A:C; B:D; AABB'],
    [':||:', '|:C8:||:D8:|', 'A:C; B:D; AABB'],
    ['|:: ::| is three times', '|::C8::|', 'A:C; AAA'],
    ['a repeat goes back to the latest double bar', 'C8||D8|E8:|', 'A:C; B:D E; ABB'],
    ['a repeat goes back to the end of the last one', '|:C8:|D8|E8:|', 'A:C; B:D E; AABB'],
    ['a double bar inside a repeat parts nothing', '|:C8||D8:|', 'A:C D; AA'],
    ['double bars part', 'C8||D8|]', 'A:C; B:D; AB'],
    ['endings', '|:C8|1D8:|2E8|]', 'A:C D[1] E[2]; AA'],
    ['endings with [', '|:C8|[1D8:|[2E8||F8|]', 'A:C D[1] E[2]; B:F; AAB'],
    ['| [1 is legal', '|:C8| [1D8:| [2E8|]', 'A:C D[1] E[2]; AA'],
    ['a list of endings', '|:C8|[1,3D8:|[2,4E8|]', 'A:C D[1,3] E[2,4]; AAAA'],
    ['a range of endings', '|:C8|[1-3D8:|[4E8|]', 'A:C D[1,2,3] E[4]; AAAA'],
    ['endings of two measures', '|:C8|[1D8|E8:|[2F8|G8|]A8|]', 'A:C D[1] E[1] F[2] G[2]; B:A; AAB'],
    ['the signs over two lines', '|:C8|\n|1D8:|\n|2E8|]', 'A:C D[1] E[2]; AA'],
    ['a repeat that never ends', '|:C8|D8|', 'A:C D; A'],
    ['a pickup and the measure that leaves room for it', 'G2|C8|D6|]', 'A:G< C D>; A'],
    ['a pickup in each part', '|:G2|C8|D6:|:A2|E8|F6:|', 'A:G< C D>; B:A< E F>; AABB'],
    [
      'a pickup before the repeat is played the first time',
      'G2|:C8|1D6G2:|2D6|]',
      'A:G<[1] C D[1] D>[2]; AA',
    ],
    ['a pickup before a part played once', 'G2|:C8|D8:|', 'A:G<[1] C D; AA'],
  ])('%s', (_name, music, expected) => {
    expect(outline(music)).toBe(expected);
  });

  it.each([
    ['names from P:', '', 'P:A\n|:C8:|\nP:B\nD8|', 'A:C; B:D; AAB'],
    ['names need not be in order', '', 'P:B\nC8|\nP:A\nD8|', 'B:C; A:D; BA'],
    ['an order in the header', 'P:ABA\n', 'P:A\nC8|\nP:B\nD8|', 'A:C; B:D; ABA'],
    ['inline names', '', '[P:A]C8|[P:B]D8|', 'A:C; B:D; AB'],
    [
      'endings of a part that comes again count on',
      'P:ABA\n',
      'P:A\n|:C8|1D8:|2E8|]\nP:B\nF8|',
      'A:C D[1,3] E[2,4]; B:F; AABAA',
    ],
    [
      'a part of two repeats becomes two parts',
      'P:AB\n',
      'P:A\n|:C8:|:D8:|\nP:B\nE8|',
      'A:C; B:D; C:E; AABBC',
    ],
  ])('%s', (_name, head, music, expected) => {
    expect(outline(music, head)).toBe(expected);
  });
});

describe('ties and chord symbols', () => {
  const first = (music: string) => {
    const result = readAbc(`X:1\nM:4/4\nL:1/8\nK:G\n${music}\n`);
    return result.ok ? (result.value.melody.parts[0]?.measures ?? []) : [];
  };
  it('a tie inside a measure makes one note', () => {
    expect(first('G4-G4|')[0]?.notes).toEqual([{ at: 0, length: 1920, midi: 67 }]);
  });
  it('a tie over the bar line is a note that is not struck again', () => {
    expect(first('G8-|G8|')[1]?.notes).toEqual([{ at: 0, length: 1920, midi: 67, tied: true }]);
  });
  it('a tie keeps its sign over the bar line', () => {
    expect(first('^c8-|c8|').map((m) => m.notes[0]?.midi)).toEqual([73, 73]);
  });
  it('another pitch after a tie is struck', () => {
    expect(first('G8-|A8|')[1]?.notes[0]?.tied).toBeUndefined();
  });
  it('chord symbols belong to their measure', () => {
    expect(first('"G"G8|"D7"A4 A4|B8|').map(({ chord }) => chord)).toEqual(['G', 'D7', undefined]);
  });
});

describe('what is understood but left out is said', () => {
  it.each([
    [
      'several tunes',
      'G8|\n\nX:2\nM:4/4\nK:C\nC8|',
      'The text holds several tunes and the first one was taken.',
    ],
    [
      'several voices',
      'V:1\nG8|\nV:2\nD8|',
      'The tune has several voices and the first one was taken.',
    ],
    [
      'inline voices',
      '[V:1]G8|\n[V:2]D8|',
      'The tune has several voices and the first one was taken.',
    ],
    ['an overlay', 'G8&D8|', 'A second voice in the same measure (&) was left out.'],
    ['graces', '{AB}G4{A}G4|', 'Grace notes were left out (2 times).'],
    ['chords', '[GB]8|', 'Of notes that sound together the highest was taken.'],
    ['signs', '!trill!G8|', 'Ornaments and other signs on notes were left out.'],
    ['slurs', '(G4A4)|', 'Slurs were left out (2 times).'],
    ['annotations', '"^slow"G8|', 'Words above or below the notes were left out.'],
    ['a tempo inside', 'G8|[Q:1/4=200]G8|', 'A change of tempo inside the tune was left out.'],
    ['a directive', '%%stretchlast 1\nG8|', 'The directive %%stretchlast was left out.'],
    [
      'a key inside',
      'G8|[K:D]F8|',
      'The key changes inside the tune; the notes follow it, but the board names the first key only.',
    ],
    ['an open repeat', '|:G8|', 'A repeat sign |: has no :| after it, so its part is played once.'],
  ])('%s', (_name, music, remark) => {
    const result = readAbc(`X:1\nT:Try\nM:4/4\nL:1/8\nK:G\n${music}\n`);
    expect(result.ok ? result.value.remarks : result.problems).toEqual([remark]);
  });
  it('a plain tune leaves nothing out, its lyrics and comments apart', () => {
    const result = readAbc(
      'X:1\nT:Try\nM:4/4\nL:1/8\nK:G\n% a comment\n"G"G4 B4|G8|]% the end\nw:la la la\n',
    );
    expect(result.ok && result.value.remarks).toEqual([]);
  });
});
