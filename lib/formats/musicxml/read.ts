import { startingTempo } from '../../arrange/arrange';
import type { Key } from '../../harmony';
import type { Melody } from '../../melody';
import { melodyMarks } from '../../melody-marks';
import type { Result } from '../../result';
import { fail, ok } from '../../result';
import type { Meter } from '../../rhythm';
import type { PlainMeasure, Tune } from '../../tune';
import type { Neck } from '../../tuning';
import type { Bpm, MeasureId } from '../../units';
import { TICKS_PER_QUARTER } from '../../units';
import { formOf, textMeasures } from './form-in';
import { chosenVoice, MelodyLine } from './melody-in';
import { isZip, scoreInMxl, textFrom } from './mxl';
import type { MusicXmlProblem, XmlFindings } from './problem';
import { START } from './problem';
import type { ScorePart } from './score';
import { leaveOut, partsOf, titleOf } from './score';
import { agreeing, neckOfStaff } from './staff-tuning';
import type { TabStaff } from './tab-in';
import { TabLine, tabStaffOf } from './tab-in';
import type { WalkedPart } from './walk';
import { Walk } from './walk';
import { SOFTWARE } from './write';
import type { XmlElement } from './xml';
import { childOf, childrenOf, readXml, textAt } from './xml';

/** A score read: a melody that is still to be put on a neck, or tab as it is. */
export type MusicXmlTune = (
  | { readonly kind: 'melody'; readonly melody: Melody }
  | { readonly kind: 'tab'; readonly tune: Tune }
) & {
  /** What was understood but left out or guessed, in words. */
  readonly remarks: readonly string[];
};

export interface MusicXmlOptions {
  /** The part to take, by its id or name; absent: the first that is tab for a five-string, else the first with notes. */
  readonly part?: string;
  /** The voice to take for a melody, by its name in the file; absent: the first. */
  readonly voice?: string;
}

/** A part of a score as it can be chosen. */
export interface ScorePartChoice {
  /** As `readMusicXml` takes it. */
  readonly part: string;
  readonly name: string;
  /** Tab for a five-string, which is taken as it is unless a voice is chosen. */
  readonly tab: boolean;
  /** Voices with notes, the first one first, each as `readMusicXml` takes it. */
  readonly voices: readonly { readonly voice: string; readonly notes: number }[];
}

const MAX_PROBLEMS = 20;
/** Parts of a score that are looked at; an orchestra has no tune for us beyond them. */
const MAX_PARTS = 30;

interface Reading {
  readonly part: ScorePart;
  readonly walked: WalkedPart;
  readonly findings: XmlFindings;
}

function walk(part: ScorePart): Reading {
  const findings: XmlFindings = { problems: [], leftOut: new Map() };
  return { part, walked: new Walk(findings).part(part), findings };
}

function hasNotes({ walked }: Reading): boolean {
  return walked.measures.some(({ notes }) => notes.some(({ midi }) => midi !== undefined));
}

/** The part to take. */
function chosen(parts: readonly ScorePart[], wanted: string | undefined): Reading | undefined {
  if (wanted !== undefined) {
    const part = parts.find(({ id, name }) => id === wanted || name === wanted);
    return part && walk(part);
  }
  const readings = parts.slice(0, MAX_PARTS).map(walk);
  const tab = readings.find(({ walked }) => tabStaffOf(walked) !== undefined);
  return tab ?? readings.find(hasNotes) ?? readings[0];
}

function meterIn({ walked, part, findings }: Reading): Meter | undefined {
  if (walked.meter) return walked.meter;
  if (!findings.problems.some(({ code }) => code === 'unknown-meter')) {
    const where = part.measures[0]?.element.where ?? START;
    const words = 'The score names no meter: <time> is missing in its first measure.';
    findings.problems.push({ code: 'no-meter', where, words });
  }
  return undefined;
}

function keyIn({ walked, findings }: Reading): Key {
  if (walked.key) return walked.key;
  leaveOut(findings, 'The score names no key, so C major was taken');
  return { tonic: 'C', mode: 'major' };
}

function tempoIn({ walked }: Reading, meter: Meter): Bpm | undefined {
  const quarters = walked.measures.find(({ signs }) => signs.quarters !== undefined)?.signs
    .quarters;
  return quarters === undefined ? undefined : (quarters * TICKS_PER_QUARTER) / meter.beat;
}

interface Head {
  readonly title: string;
  readonly meter: Meter;
  readonly key: Key;
  readonly tempo?: Bpm;
}

function melodyFrom(reading: Reading, head: Head, voice: string | undefined): Melody | undefined {
  const { walked, findings } = reading;
  const choice = chosenVoice(walked, voice, findings);
  if (!choice) return undefined;
  const line = new MelodyLine(choice, findings);
  const measures = textMeasures(walked.measures, head.meter, ({ notes }) => line.notes(notes));
  const { parts, form } = formOf(measures, head.meter, (one) => one.notes, findings);
  return { ...head, parts, form };
}

/** The tab as a tune: every stroke where it stands. */
function tuneFrom(reading: Reading, head: Head, tab: TabStaff, neck: Neck, isOurs: boolean): Tune {
  const { walked, findings } = reading;
  const { meter } = head;
  const line = new TabLine(tab, neck, meter, isOurs, findings);
  const { sections, parts, form } = formOf(
    textMeasures(walked.measures, meter, () => []),
    meter,
    ({ number }) => walked.measures[number - 1]?.notes.map(({ where: _, ...note }) => note),
    findings,
  );
  let number = 0;
  const made = parts.map(({ letter, measures }, p) => ({
    letter,
    measures: measures.map((measure, m): PlainMeasure => {
      const source = walked.measures[(sections[p]?.measures[m]?.measure.number ?? 0) - 1];
      const { startsAt, ticks, chord, chords, endings } = measure;
      const strokes = line.strokes(source?.notes ?? [], ticks, startsAt);
      number += 1;
      return {
        id: `m${number}` as MeasureId,
        startsAt,
        ticks,
        strokes,
        melody: melodyMarks({ meter, startsAt, ticks, strokes }),
        ...(chord === undefined ? {} : { chord }),
        ...(chords === undefined ? {} : { chords }),
        ...(endings === undefined ? {} : { endings }),
      };
    }),
  }));
  return { ...head, tempo: head.tempo ?? startingTempo(meter), neck, parts: made, form };
}

function isOurs(score: XmlElement): boolean {
  const identification = childOf(score, 'identification');
  const encodings = identification ? childrenOf(identification, 'encoding') : [];
  return encodings.some((encoding) => textAt(encoding, 'software') === SOFTWARE);
}

function noNotes({ part }: Reading): MusicXmlProblem {
  const where = part.measures[0]?.element.where ?? START;
  return {
    code: 'no-notes',
    where,
    words: 'The part has no notes with a pitch, so there is no tune in it.',
  };
}

function readingOf(
  score: XmlElement,
  { part, voice }: MusicXmlOptions,
): Result<MusicXmlTune, MusicXmlProblem> {
  const parts = partsOf(score);
  if (!parts.ok) return parts;
  const reading = chosen(parts.value, part);
  if (!reading) {
    const names = parts.value
      .map(({ name }) => `"${name}"`)
      .join(', ')
      .slice(0, 200);
    const words = `No part is called "${part?.slice(0, 40)}". There are ${names}.`;
    return fail({ code: 'no-part', where: score.where, words });
  }
  const { findings, walked } = reading;
  const { problems } = findings;
  if (parts.value.length > 1 && part === undefined)
    leaveOut(
      findings,
      `The score has ${parts.value.length} parts and "${reading.part.name.slice(0, 40)}" was taken`,
    );
  const meter = meterIn(reading);
  if (!meter || problems.length > 0) return fail(...problems.slice(0, MAX_PROBLEMS));
  if (!hasNotes(reading)) return fail(noNotes(reading));
  const tempo = tempoIn(reading, meter);
  const title = titleOf(score, findings);
  const head = { title, meter, key: keyIn(reading), ...(tempo === undefined ? {} : { tempo }) };
  const tab = voice === undefined ? tabStaffOf(walked) : undefined;
  const neck = tab && neckOfStaff(walked.tabs.get(tab.staff) ?? {}, tab.notes);
  if (tab && !neck)
    leaveOut(
      findings,
      'The tab is in a tuning that the board does not know, so its notes were taken as a melody',
    );
  const read =
    tab && neck
      ? tabTune(reading, head, tab, neck, isOurs(score))
      : melodyTune(reading, head, voice);
  if (!read) return fail(noNotes(reading));
  if (problems.length > 0) return fail(...problems.slice(0, MAX_PROBLEMS));
  return ok({ ...read, remarks: remarksOf(findings) });
}

function melodyTune(reading: Reading, head: Head, voice: string | undefined) {
  const melody = melodyFrom(reading, head, voice);
  return melody && ({ kind: 'melody', melody } as const);
}

function tabTune(reading: Reading, head: Head, tab: TabStaff, neck: Neck, ours: boolean) {
  const differ = tab.notes.length - agreeing(neck, tab.notes);
  if (differ > 0)
    leaveOut(
      reading.findings,
      `${differ} of ${tab.notes.length} notes sound otherwise than their string and fret, which were taken`,
    );
  return { kind: 'tab', tune: tuneFrom(reading, head, tab, neck, ours) } as const;
}

function remarksOf({ leftOut }: XmlFindings): readonly string[] {
  return [...leftOut].map(([what, times]) =>
    times === 1 ? `${what}.` : `${what} (${times} times).`,
  );
}

/** The parts of a score that have notes, for choosing the melody among them; or what is wrong with the file. */
export function musicXmlParts(
  source: string | Uint8Array,
): Result<readonly ScorePartChoice[], MusicXmlProblem> {
  const text = textOf(source);
  if (!text.ok) return text;
  const score = readXml(text.value);
  if (!score.ok) return score;
  const parts = partsOf(score.value);
  if (!parts.ok) return parts;
  return ok(
    parts.value
      .slice(0, MAX_PARTS)
      .map(walk)
      .map(({ part, walked }) => {
        const names = walked.measures.flatMap(({ notes }) =>
          notes.flatMap(({ midi, voice }) => (midi === undefined ? [] : [voice])),
        );
        const voices = [...new Set(names)]
          .sort((a, b) => Number(a) - Number(b) || (a < b ? -1 : 1))
          .map((voice) => ({ voice, notes: names.filter((one) => one === voice).length }));
        return { part: part.id, name: part.name, tab: tabStaffOf(walked) !== undefined, voices };
      })
      .filter(({ voices }) => voices.length > 0),
  );
}

function textOf(source: string | Uint8Array): Result<string, MusicXmlProblem> {
  if (typeof source === 'string') return ok(source);
  return isZip(source) ? scoreInMxl(source) : decoded(source);
}

/**
 * A MusicXML score (text, or the bytes of a .musicxml or .mxl file) as a tune, or everything that stands in its way with line, column and
 * element. A tab staff for a five-string is taken as it is; of any other part one voice is the melody. One meter, at most 500 measures.
 * Never throws and never looks anything up outside the text; time is linear in its length.
 * Source: MusicXML 4.0 (W3C Community Group, June 2021).
 */
export function readMusicXml(
  source: string | Uint8Array,
  options: MusicXmlOptions = {},
): Result<MusicXmlTune, MusicXmlProblem> {
  const text = textOf(source);
  if (!text.ok) return text;
  const score = readXml(text.value);
  return score.ok ? readingOf(score.value, options) : score;
}

function decoded(bytes: Uint8Array): Result<string, MusicXmlProblem> {
  const text = textFrom(bytes);
  if (text !== undefined) return ok(text);
  const words = 'The file is neither text in UTF-8 or UTF-16 nor a compressed score (.mxl).';
  return fail({ code: 'not-xml', where: START, words });
}
