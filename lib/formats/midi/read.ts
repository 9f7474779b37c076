import type { Key, Mode } from '../../harmony';
import { MODES, scaleOf } from '../../harmony';
import type { Melody } from '../../melody';
import { pitchClass, pitchName } from '../../pitch';
import type { Result } from '../../result';
import { fail, ok } from '../../result';
import type { Meter } from '../../rhythm';
import { meterNamed } from '../../rhythm';
import type { Midi } from '../../units';
import { TICKS_PER_QUARTER } from '../../units';
import { partsFrom } from '../abc/parts';
import type { Findings } from '../abc/problem';
import { sectionsOf } from '../abc/sections';
import { mergedParts } from '../merge-parts';
import { meterAmong, otherMeter } from '../other-meter';
import { recoveredForm } from '../repeats';
import { keyFromSignature } from '../spelling';
import type { MeterChange } from './bars';
import { barred, MAX_MEASURES } from './bars';
import type { FileNote, FileTrack, MidiFile } from './parse';
import { parseMidiFile } from './parse';
import type { MidiProblem } from './problem';
import type { Timed } from './quantise';
import { quantised } from './quantise';
import { MELODY_TRACK } from './write';

/** A melody read from a MIDI file, and what was guessed or left out, in words. */
export interface MidiTune {
  readonly melody: Melody;
  readonly remarks: readonly string[];
}

/** The percussion channel, from 0. Source: General MIDI 1, channel 10 counted from 1. */
const DRUMS = 9;
const MAX_PROBLEMS = 20;

interface Voice {
  readonly name: string;
  readonly notes: readonly FileNote[];
}

/** A track of a file (one channel of it) that may be the melody. */
export interface MidiVoice {
  /** Counts from 1, as `readMidi` takes it. */
  readonly track: number;
  /** As the file calls it; may be empty. */
  readonly name: string;
  readonly notes: number;
  readonly lowest: Midi;
  readonly highest: Midi;
  /** Part of its notes, 0 to 1, that begin while no other of it sounds: a melody has nearly 1. */
  readonly alone: number;
  /** Is it the one that is taken when nobody chooses? */
  readonly likeliest: boolean;
}

export interface MidiOptions {
  /** Which of the tracks that `midiVoices` lists, from 1; absent: the likeliest. */
  readonly track?: number;
}

/** Notes by track and channel, without percussion. */
function voicesIn(tracks: readonly FileTrack[]): readonly Voice[] {
  return tracks.flatMap(({ name, notes }) => {
    const channels = [...new Set(notes.map(({ channel }) => channel))].filter(
      (one) => one !== DRUMS,
    );
    return channels.map((channel) => ({
      name,
      notes: notes.filter((note) => note.channel === channel),
    }));
  });
}

/** Part of the notes, 0 to 1, that begin while none of the same voice sounds. */
function aloneShare(notes: readonly FileNote[]): number {
  let end = Number.NEGATIVE_INFINITY;
  let alone = 0;
  for (const { at, length } of notes) {
    if (at >= end - length / 8) alone += 1;
    end = Math.max(end, at + length);
  }
  return notes.length === 0 ? 0 : alone / notes.length;
}

/** The voice that is likeliest the tune: named so, or the one that mostly sounds one note at a time; of several the highest. */
function melodyVoice(voices: readonly Voice[]): Voice | undefined {
  const named = voices.find(({ name }) => name.toLowerCase() === MELODY_TRACK.toLowerCase());
  if (named) return named;
  const mean = ({ notes }: Voice) => notes.reduce((sum, { midi }) => sum + midi, 0) / notes.length;
  const score = (voice: Voice) => Math.round(aloneShare(voice.notes) * 4) * 1000 + mean(voice);
  return voices.filter(({ notes }) => notes.length > 0).toSorted((a, b) => score(b) - score(a))[0];
}

/** The tracks of a file that hold notes, for choosing the melody among them; or what is wrong with the file. */
export function midiVoices(bytes: Uint8Array): Result<readonly MidiVoice[], MidiProblem> {
  const file = parseMidiFile(bytes);
  if (!file.ok) return file;
  const voices = voicesIn(file.value.tracks);
  const likeliest = melodyVoice(voices);
  return ok(
    voices.map((voice, i) => {
      const pitches = voice.notes.map(({ midi }) => midi);
      return {
        track: i + 1,
        name: voice.name,
        notes: pitches.length,
        lowest: pitches.reduce((a, b) => Math.min(a, b), 127),
        highest: pitches.reduce((a, b) => Math.max(a, b), 0),
        alone: aloneShare(voice.notes),
        likeliest: voice === likeliest,
      };
    }),
  );
}

/** The tune's meter, and where in the file (in our ticks) bars of another length begin and end. */
function meterOf(
  { meters }: MidiFile,
  scale: number,
  remarks: string[],
): Result<{ readonly meter: Meter; readonly changes: readonly MeterChange[] }, MidiProblem> {
  const names = meters.map(({ name }) => name);
  if (names.length === 0) {
    remarks.push('The file names no meter, so 4/4 was taken.');
    return ok({ meter: meterNamed('4/4'), changes: [] });
  }
  const meter = meterAmong(names);
  if (!meter)
    return fail({
      code: 'unknown-meter',
      where: {},
      words: `The file is in ${names[0]}, which is no meter that clawhammer tab is made for. The board knows 4/4, 2/2, 2/4, 3/4 and 6/8.`,
    });
  const changes = meters.map(({ at, name }) => ({
    at: Math.round(at * scale),
    told: name === meter.name ? undefined : otherMeter(name, meter),
  }));
  const isKept =
    names.at(-1) === meter.name && changes.every(({ told }) => typeof told !== 'string');
  if (!isKept)
    remarks.push(`The meter changes inside the file; all of it was barred as ${meter.name}.`);
  const kept = changes.flatMap(({ at, told }) =>
    typeof told === 'string' ? [] : [{ at, ...(told ? { told } : {}) }],
  );
  return ok({ meter, changes: isKept ? kept : [] });
}

/** Modes that a guess may come to, the likeliest first. */
const GUESSED: readonly Mode[] = ['major', 'mixolydian', 'dorian', 'minor'];

/** The key by its signature, its mode by the last note; without a signature the scale that holds most of the time, on the last note. */
function keyOf(file: MidiFile, notes: readonly Timed[], remarks: string[]): Key {
  const last = notes.at(-1);
  const lastName = last
    ? pitchName(last.midi, (file.key?.fifths ?? 0) < 0).replace(/-?\d+$/, '')
    : 'C';
  if (file.key) {
    const { fifths, minor } = file.key;
    const candidates = MODES.map((mode) => keyFromSignature(fifths, mode));
    const byLast = candidates.find(
      ({ tonic, mode }) => tonic === lastName && isMinor(mode) === minor,
    );
    if (byLast) return byLast;
    return keyFromSignature(fifths, minor ? 'minor' : 'major');
  }
  const inside = (mode: Mode) => {
    const scale = scaleOf({ tonic: lastName, mode });
    return notes.reduce(
      (sum, { midi, length }) => sum + (scale.includes(pitchClass(midi)) ? length : 0),
      0,
    );
  };
  const [first = 'major', ...more] = GUESSED;
  const mode = more.reduce((best, one) => (inside(one) > inside(best) ? one : best), first);
  remarks.push(`The file names no key; ${lastName} ${mode} was guessed from its notes.`);
  return { tonic: lastName, mode };
}

function isMinor(mode: Mode): boolean {
  return mode === 'minor' || mode === 'dorian' || mode === 'phrygian' || mode === 'locrian';
}

function titleOf(file: MidiFile, remarks: string[]): string {
  const [first] = file.tracks;
  if (first?.name) return first.name;
  remarks.push('The file has no title.');
  return 'Untitled';
}

function melodyFrom(file: MidiFile, voice: Voice, remarks: string[]): Result<Melody, MidiProblem> {
  const scale = TICKS_PER_QUARTER / file.division;
  const read = meterOf(file, scale, remarks);
  if (!read.ok) return read;
  const { meter, changes } = read.value;
  const played = voice.notes.map(({ at, length, midi }) => ({
    at: at * scale,
    length: length * scale,
    midi,
  }));
  const { notes, moved, dropped } = quantised(played);
  if (moved > 0)
    remarks.push(
      `${moved} of ${played.length} notes were moved to the nearest sixteenth or triplet.`,
    );
  if (dropped > 0)
    remarks.push(`Of notes that sound together the highest was taken (${dropped} were left out).`);
  const markers = new Map(
    file.markers
      .filter(({ text }) => /^[A-Z]$/.test(text))
      .map(({ at, text }) => [Math.round(at * scale), text] as const),
  );
  const found: Findings = { problems: [], leftOut: new Map() };
  const measures = barred(notes, meter, changes, markers);
  if (measures.length > MAX_MEASURES) {
    const words = `The tune has more than ${MAX_MEASURES} measures. Take a shorter one.`;
    return fail({ code: 'too-many-measures', where: {}, words });
  }
  const { parts, form } = partsFrom(sectionsOf(measures, meter, found), undefined, meter, found);
  if (found.problems.length > 0)
    return fail(
      ...found.problems
        .slice(0, MAX_PROBLEMS)
        .map(({ code, words }) => ({ code, words, where: {} })),
    );
  const [whole] = parts;
  const recovered =
    markers.size === 0 && whole && parts.length === 1 ? recoveredForm(whole.measures) : undefined;
  if (recovered)
    remarks.push(
      `The file writes its repeats out; ${recovered.form.join(' ')} was recovered from measures that are the same.`,
    );
  const title = titleOf(file, remarks);
  const key = keyOf(file, notes, remarks);
  const tempo = file.tempo && ((60_000_000 / file.tempo) * TICKS_PER_QUARTER) / meter.beat;
  return ok({
    title,
    meter,
    key,
    ...(tempo ? { tempo } : {}),
    ...(recovered ?? mergedParts(parts, form)),
  });
}

/**
 * The melody in a Standard MIDI File: the track that was chosen, else the one called "Melody", or the one that is likeliest the tune, quantised and barred. What was
 * guessed is said in the remarks. Repeats are not in such a file: they are recovered where the music plainly repeats, and said.
 * Source: Standard MIDI Files 1.0.
 */
export function readMidi(
  bytes: Uint8Array,
  { track }: MidiOptions = {},
): Result<MidiTune, MidiProblem> {
  const file = parseMidiFile(bytes);
  if (!file.ok) return file;
  const voices = voicesIn(file.value.tracks);
  const voice = track === undefined ? melodyVoice(voices) : voices[track - 1];
  if (!voice) {
    const words =
      voices.length === 0
        ? 'The file has no notes, so there is no tune in it.'
        : `There is no track ${track} with notes; there are ${voices.length}.`;
    return fail({ code: 'no-notes', where: {}, words });
  }
  const remarks: string[] = [];
  if (voices.length > 1 && track === undefined) {
    const name = voice.name === '' ? 'one without a name' : `"${voice.name.slice(0, 40)}"`;
    remarks.push(`Of ${voices.length} tracks ${name} was taken as the melody.`);
  }
  const melody = melodyFrom(file.value, voice, remarks);
  return melody.ok ? ok({ melody: melody.value, remarks }) : melody;
}
