import { describe, expect, test } from 'vitest';
import { choicesIn, readTune, sourceWith } from '../../../../app/_islands/start/read-tune';
import { arrange } from '../../../../lib/arrange/arrange';
import { readAbc } from '../../../../lib/formats/abc/read';
import { abcTunes } from '../../../../lib/formats/abc/tunes';
import { midiVoices } from '../../../../lib/formats/midi/read';
import { toMidi } from '../../../../lib/formats/midi/write';
import { toMusicXml } from '../../../../lib/formats/musicxml/write';
import type { Tune } from '../../../../lib/tune';

const BOOK = `%abc-2.1
C:somebody
L:1/8

% a list of tunes
X:7
T:The First % not this
T:its other name
M:4/4
K:G
G8|]

Words between the tunes.

X:8
T:The Second
M:6/8
K:Ador
A3 B3|]
X:9
M:3/4
K:D
d2e2f2|]
`;

function tuneOf(abc: string): Tune {
  const read = readAbc(abc);
  const arranged = read.ok ? arrange(read.value.melody) : read;
  if (!arranged.ok) throw new Error(arranged.problems[0]?.words);
  return arranged.value.tune;
}

const base64 = (bytes: Uint8Array) => Buffer.from(bytes).toString('base64');

describe('a text with several tunes', () => {
  test('lists them by title, meter and key, with the line where each begins', () => {
    expect(abcTunes(BOOK)).toEqual([
      { tune: 1, title: 'The First', meter: '4/4', key: 'G', line: 6 },
      { tune: 2, title: 'The Second', meter: '6/8', key: 'Ador', line: 15 },
      { tune: 3, title: 'Untitled', meter: '3/4', key: 'D', line: 20 },
    ]);
  });

  test('the chosen one is read, under the fields of the file, with errors at their own lines', () => {
    expect(choicesIn({ abc: BOOK }).options.map(({ value, words }) => [value, words])).toEqual([
      ['', '1. The First, 4/4, in G'],
      ['2', '2. The Second, 6/8, in Ador'],
      ['3', '3. Untitled, 3/4, in D'],
    ]);
    const read = readTune({ abc: BOOK }, '2');
    if (!read.ok || read.value.kind !== 'melody') throw new Error('no melody');
    expect(read.value.melody.title).toBe('The Second');
    expect(read.value.melody.parts[0]?.measures[0]?.notes.map(({ midi }) => midi)).toEqual([
      69, 71,
    ]);
    expect(read.value.remarks).toEqual([]);
    const wrong = readTune({ abc: BOOK.replace('A3 B3', 'A3 B4') }, '2');
    expect(wrong).toMatchObject({ ok: false, line: 19, column: 1 });
    expect(readTune({ abc: BOOK }, '4')).toMatchObject({
      ok: false,
      words: 'There is no tune number 4 in this text.',
    });
    expect(sourceWith({ abc: BOOK }, '3')).toEqual({ abc: BOOK, number: 3 });
    expect(choicesIn({ abc: 'X:1\nT:Alone\nM:4/4\nK:G\nG8|]' }).options).toEqual([]);
  });
});

describe('a score with several parts', () => {
  const own = toMusicXml({ tune: tuneOf('X:1\nT:Tab\nM:4/4\nL:1/8\nK:G\nG2B2d2B2|G8|]\n') });
  const note = (step: string, voice: number) =>
    `<note><pitch><step>${step}</step><octave>4</octave></pitch><duration>4</duration><voice>${voice}</voice></note>`;
  const flute = `<part id="P2"><measure number="1"><attributes><divisions>1</divisions><key><fifths>1</fifths><mode>major</mode></key><time><beats>4</beats><beat-type>4</beat-type></time></attributes>${note('D', 1)}<backup><duration>4</duration></backup>${note('B', 2)}</measure></part>`;
  const score = own
    .replace(
      '</part-list>',
      '<score-part id="P2"><part-name>Flute</part-name></score-part></part-list>',
    )
    .replace('</score-partwise>', `${flute}</score-partwise>`);

  test('offers the tab as it is, and each voice as a melody', () => {
    expect(choicesIn({ musicxml: score }).options.map(({ words }) => words)).toEqual([
      'Banjo: its tab, as it is',
      expect.stringMatching(/^Banjo: the melody of voice 1, \d+ notes$/),
      expect.stringMatching(/^Banjo: the melody of voice 5, \d+ notes$/),
      'Flute: the melody of voice 1, 1 notes',
      'Flute: the melody of voice 2, 1 notes',
    ]);
    const [tab, , , first, second] = choicesIn({ musicxml: score }).options;
    const kinds = [tab, first, second].map((option) => {
      const read = readTune({ musicxml: score }, option?.value ?? '');
      if (!read.ok) throw new Error(read.words);
      return read.value.kind === 'tab'
        ? 'tab'
        : read.value.melody.parts[0]?.measures[0]?.notes.map(({ midi }) => midi);
    });
    expect(kinds).toEqual(['tab', [62], [71]]);
    expect(sourceWith({ musicxml: score }, second?.value ?? '')).toEqual({
      musicxml: score,
      part: 'P2',
      voice: '2',
    });
  });
});

describe('a MIDI file with several tracks', () => {
  const tune = tuneOf('X:1\nT:Song\nM:4/4\nL:1/8\nK:G\nG2B2d2B2|G8|]\n');
  const midi = toMidi({ tune });

  test('offers each track with what it holds, and says which is likeliest the tune', () => {
    const voices = midiVoices(midi);
    if (!voices.ok) throw new Error('no voices');
    expect(voices.value.filter(({ likeliest }) => likeliest).map(({ name }) => name)).toEqual([
      'Melody',
    ]);
    const { options } = choicesIn({ midi: base64(midi) });
    expect(options.length).toBe(voices.value.length);
    expect(options.map(({ words }) => words)).toContain(
      'Melody: 5 notes from G3 to D4, one at a time (likeliest the tune)',
    );
    const other = options.find(({ value }) => value !== '');
    const read = readTune({ midi: base64(midi) }, other?.value ?? '');
    expect(read.ok).toBe(true);
    expect(sourceWith({ midi: base64(midi) }, other?.value ?? '')).toMatchObject({
      track: Number(other?.value),
    });
    expect(readTune({ midi: base64(midi) }, '9')).toMatchObject({
      ok: false,
      words: `There is no track 9 with notes; there are ${options.length}.`,
    });
  });
});

test('what is no tune offers nothing, and says why when it is looked at', () => {
  for (const source of [{ abc: '' }, { musicxml: '<x/>' }, { midi: 'AAAA' }, { board: 3 }]) {
    expect(choicesIn(source).options).toEqual([]);
    const read = readTune(source, '');
    expect(read.ok ? '' : read.words.length).toBeGreaterThan(20);
  }
});
