import { readAbc } from '../../../lib/formats/abc/read';
import { abcTunes } from '../../../lib/formats/abc/tunes';
import { midiVoices, readMidi } from '../../../lib/formats/midi/read';
import { musicXmlParts, readMusicXml } from '../../../lib/formats/musicxml/read';
import type { Melody } from '../../../lib/melody';
import { pitchName } from '../../../lib/pitch';
import type { Tune } from '../../../lib/tune';
import type { CreateBoard } from '../../../shared/api/create-board';
import { parseSavedBoard } from '../../../shared/api/saved-board';

/** Which of several tunes, parts, voices or tracks of a source; the value of an `Option`, '' for what is taken when nobody chooses. */
export type Chosen = string;

export interface Option {
  readonly value: Chosen;
  readonly words: string;
}

/** What can be chosen in a source, with the question; none where there is nothing to choose. */
export interface Choices {
  readonly question: string;
  readonly options: readonly Option[];
}

/** A tune as it was read: a melody that is still to be set, or tab that is taken as it is. */
export type ReadTune =
  | { readonly kind: 'melody'; readonly melody: Melody; readonly remarks: readonly string[] }
  | { readonly kind: 'tab'; readonly tune: Tune; readonly remarks: readonly string[] };

export type Read =
  | { readonly ok: true; readonly value: ReadTune }
  | {
      readonly ok: false;
      readonly words: string;
      readonly line?: number;
      readonly column?: number;
    };

type Source = CreateBoard['tune'];

function bytesOf(base64: string): Uint8Array {
  return Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
}

const NONE: Choices = { question: '', options: [] };

function onlyIfSeveral(choices: Choices): Choices {
  return choices.options.length > 1 ? choices : NONE;
}

function tunesIn(abc: string): Choices {
  const options = abcTunes(abc).map(({ tune, title, meter, key }) => ({
    value: tune === 1 ? '' : String(tune),
    words: [`${tune}. ${title}`, meter, key && `in ${key}`].filter((one) => one !== '').join(', '),
  }));
  return onlyIfSeveral({ question: 'Which tune of the text', options });
}

function partsIn(source: string | Uint8Array): Choices {
  const parts = musicXmlParts(source);
  if (!parts.ok) return NONE;
  const usual = parts.value.find(({ tab }) => tab) ?? parts.value[0];
  const options = parts.value.flatMap(({ part, name, tab, voices }): readonly Option[] => {
    const whole = part === usual?.part ? '' : part;
    const own = tab ? [{ value: whole, words: `${name}: its tab, as it is` }] : [];
    const several = voices.map(({ voice, notes }, i) => ({
      value: !tab && i === 0 ? whole : `${part}\n${voice}`,
      words: `${name}: the melody${voices.length > 1 ? ` of voice ${voice}` : ''}, ${notes} notes`,
    }));
    return [...own, ...several];
  });
  return onlyIfSeveral({ question: 'Which part of the score', options });
}

function tracksIn(bytes: Uint8Array): Choices {
  const voices = midiVoices(bytes);
  if (!voices.ok) return NONE;
  const options = voices.value.map(({ track, name, notes, lowest, highest, alone, likeliest }) => ({
    value: likeliest ? '' : String(track),
    words: `${name || `track ${track}`}: ${notes} notes from ${pitchName(lowest)} to ${pitchName(highest)}, ${alone > 0.8 ? 'one at a time' : 'several at once'}${likeliest ? ' (likeliest the tune)' : ''}`,
  }));
  return onlyIfSeveral({ question: 'Which track is the melody', options });
}

/** What can be chosen in a source. */
export function choicesIn(source: Source): Choices {
  if ('abc' in source) return tunesIn(source.abc);
  if ('musicxml' in source) return partsIn(source.musicxml);
  if ('mxl' in source) return partsIn(bytesOf(source.mxl));
  if ('midi' in source) return tracksIn(bytesOf(source.midi));
  return NONE;
}

function partChosen(chosen: Chosen): { readonly part?: string; readonly voice?: string } {
  const [part = '', voice] = chosen.split('\n');
  if (part === '') return {};
  return voice === undefined ? { part } : { part, voice };
}

/** A source with what was chosen in it, as the server is asked for it. */
export function sourceWith(source: Source, chosen: Chosen): Source {
  if (chosen === '') return source;
  if ('abc' in source) return { abc: source.abc, number: Number(chosen) };
  if ('musicxml' in source) return { musicxml: source.musicxml, ...partChosen(chosen) };
  if ('mxl' in source) return { mxl: source.mxl, ...partChosen(chosen) };
  if ('midi' in source) return { midi: source.midi, track: Number(chosen) };
  return source;
}

type Problems = readonly {
  readonly words: string;
  readonly where: { readonly line?: number; readonly column?: number };
}[];

/** Problems without a place in a text. */
function inWords(problems: readonly { readonly words: string }[]): Problems {
  return problems.map(({ words }) => ({ words, where: {} }));
}

function refused(problems: Problems): Read {
  const { line, column } = problems[0]?.where ?? {};
  return {
    ok: false,
    words: problems.map(({ words }) => words).join(' '),
    ...(line === undefined ? {} : { line }),
    ...(column === undefined ? {} : { column }),
  };
}

function asMelody({ melody, remarks }: Omit<ReadTune & { kind: 'melody' }, 'kind'>): Read {
  return { ok: true, value: { kind: 'melody', melody, remarks } };
}

/** Reads a source as the server would, here in the browser. */
export function readTune(source: Source, chosen: Chosen): Read {
  if ('abc' in source) {
    const read = readAbc(source.abc, chosen === '' ? {} : { tune: Number(chosen) });
    return read.ok ? asMelody(read.value) : refused(read.problems);
  }
  if ('midi' in source) {
    const track = chosen === '' ? {} : { track: Number(chosen) };
    const read = readMidi(bytesOf(source.midi), track);
    return read.ok ? asMelody(read.value) : refused(inWords(read.problems));
  }
  if ('board' in source) {
    const read = parseSavedBoard(source.board);
    if (!read.ok) return refused(inWords(read.problems));
    return { ok: true, value: { kind: 'tab', tune: read.value.tune, remarks: [] } };
  }
  if ('demo' in source) return { ok: false, words: 'The demo is looked at on its board.' };
  const score = 'musicxml' in source ? source.musicxml : bytesOf(source.mxl);
  const read = readMusicXml(score, partChosen(chosen));
  if (!read.ok) return refused(read.problems);
  const { remarks } = read.value;
  return read.value.kind === 'melody'
    ? asMelody({ melody: read.value.melody, remarks })
    : { ok: true, value: { kind: 'tab', tune: read.value.tune, remarks } };
}
