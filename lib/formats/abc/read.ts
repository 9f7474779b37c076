import type { Melody } from '../../melody';
import type { Result } from '../../result';
import { fail, ok } from '../../result';
import type { Meter } from '../../rhythm';
import type { Bpm, Ticks } from '../../units';
import { defaultUnit, meterFrom, orderFrom, tempoFrom, unitFrom } from './fields';
import type { AbcKey } from './key';
import { keyFrom } from './key';
import { measuresFrom } from './measures';
import { namedOnce } from './named-parts';
import { partsFrom } from './parts';
import type { AbcProblem, Findings, TextPlace } from './problem';
import { leaveOut, remarksOf } from './problem';
import { sectionsOf } from './sections';
import type { AbcSource } from './source';
import { headerField, sourceOf } from './source';
import type { Sounded } from './timing';
import { soundedFrom } from './timing';
import { firstVoice } from './voice';

/** A tune read from ABC, and what was understood but left out, in words. */
export interface AbcTune {
  readonly melody: Melody;
  readonly remarks: readonly string[];
}

/** Longest text that is read, in characters: some two thousand tunes. */
export const MAX_ABC = 1_000_000;
/** Most problems that are told at once; the first ones usually cause the others. */
const MAX_PROBLEMS = 20;

const START: TextPlace = { line: 1, column: 1 };

interface Setting {
  readonly meter: Meter;
  readonly key: AbcKey;
  readonly unit: Ticks;
}

function meterOf(source: AbcSource, findings: Findings): Meter | undefined {
  const field = headerField(source, 'M');
  const meter = field && meterFrom(field.value);
  if (meter) return meter;
  const known = 'The board knows 4/4, 2/2, 2/4, 3/4 and 6/8.';
  if (field) {
    findings.problems.push({
      code: 'unknown-meter',
      where: field.where,
      words: `"${field.value.slice(0, 20)}" is no meter that clawhammer tab is made for. ${known}`,
    });
  } else {
    const where = source.header[0]?.where ?? START;
    findings.problems.push({
      code: 'no-meter',
      where,
      words: `The tune names no meter. Add a line M:4/4 before K:. ${known}`,
    });
  }
  return undefined;
}

function keyOf(source: AbcSource, findings: Findings): AbcKey | undefined {
  const field = headerField(source, 'K');
  if (!field) {
    const where = source.header.at(-1)?.where ?? START;
    findings.problems.push({
      code: 'no-key',
      where,
      words:
        'The tune names no key. Add a line K:G (or another key) as the last line before the notes.',
    });
    return undefined;
  }
  const key = keyFrom(field.value);
  if (!key)
    findings.problems.push({
      code: 'bad-key',
      where: field.where,
      words: `"${field.value.slice(0, 20)}" names no key. Write K:G or K:Ador.`,
    });
  else if (key.remark !== undefined) leaveOut(findings, key.remark);
  return key;
}

function unitOf(source: AbcSource, meter: Meter, findings: Findings): Ticks {
  const field = headerField(source, 'L');
  const unit = field && unitFrom(field.value);
  if (field && unit === undefined)
    findings.problems.push({
      code: 'bad-unit',
      where: field.where,
      words: `"${field.value.slice(0, 20)}" is no unit length. Write L:1/8.`,
    });
  return unit ?? defaultUnit(meter);
}

function tempoOf(source: AbcSource, setting: Setting, findings: Findings): Bpm | undefined {
  const field = headerField(source, 'Q');
  const tempo = field && tempoFrom(field.value, setting.meter, setting.unit);
  if (field && tempo === undefined)
    leaveOut(findings, 'The tempo (Q:) has no number that can be read');
  return tempo;
}

function orderOf(source: AbcSource, findings: Findings): readonly string[] | undefined {
  const field = headerField(source, 'P');
  const order = field && orderFrom(field.value);
  if (field && order === undefined)
    findings.problems.push({
      code: 'bad-order',
      where: field.where,
      words: `"${field.value.slice(0, 20)}" is no order of parts. Write P:AABB or P:(AB)2.`,
    });
  return order;
}

function titleOf(source: AbcSource, findings: Findings): string {
  const title = source.header.find(({ letter }) => letter === 'T')?.value.trim();
  if (!title) leaveOut(findings, 'The tune has no title');
  return title || 'Untitled';
}

/** Notes between bar lines; what the lines of music say that cannot be read is in `findings`. */
function soundedIn(source: AbcSource, setting: Setting, findings: Findings): readonly Sounded[] {
  const { tokens, shift } = firstVoice(source, findings);
  return soundedFrom(tokens, { ...setting, shift }, source.propagate, findings);
}

function melodyFrom(
  source: AbcSource,
  setting: Setting,
  sounded: readonly Sounded[],
  findings: Findings,
): Melody {
  const { meter, key } = setting;
  const measures = measuresFrom(sounded, meter, findings);
  if (!measures.some(({ notes }) => notes.length > 0)) {
    const where = headerField(source, 'K')?.where ?? START;
    const words = 'The tune has no notes. Write them on the lines after K:.';
    findings.problems.push({ code: 'no-notes', where, words });
  }
  const sections = sectionsOf(measures, meter, findings);
  const order = orderOf(source, findings);
  const named = order ? undefined : namedOnce(sections);
  const { parts, form } = partsFrom(
    named?.sections ?? sections,
    order ?? named?.order,
    meter,
    findings,
  );
  const tempo = tempoOf(source, setting, findings);
  return {
    title: titleOf(source, findings),
    meter,
    key: key.key,
    ...(tempo === undefined ? {} : { tempo }),
    parts,
    form,
  };
}

/** The problems in the order of the text, and not more than anybody reads. */
function inOrder({ problems }: Findings): readonly AbcProblem[] {
  return problems
    .toSorted((a, b) => a.where.line - b.where.line || a.where.column - b.where.column)
    .slice(0, MAX_PROBLEMS);
}

export interface AbcOptions {
  /** Which tune of the text, from 1; absent: the first. */
  readonly tune?: number;
}

/**
 * One tune of an ABC text as a melody, or everything that stands in its way with line and column.
 * One voice; one meter, of which bars may be short that name a meter of their own; whole ticks. What cannot be read is told before what does not add up, which mostly follows from it. Never throws; time is linear in the text's length.
 * Source: ABC 2.1 (abcnotation.com, December 2011).
 */
export function readAbc(text: string, { tune }: AbcOptions = {}): Result<AbcTune, AbcProblem> {
  if (text.length > MAX_ABC)
    return fail({
      code: 'too-long',
      where: START,
      words: `The text has ${text.length} characters. Take a shorter one, at most ${MAX_ABC}.`,
    });
  const findings: Findings = { problems: [], leftOut: new Map() };
  const source = sourceOf(text, findings, tune);
  if (source.header.length === 0)
    return fail({
      code: 'no-tune',
      where: START,
      words:
        tune !== undefined && tune > 1
          ? `There is no tune number ${tune} in this text.`
          : 'There is no ABC tune in this text. It begins with lines like X:1, T:a title, M:4/4 and K:G.',
    });
  const meter = meterOf(source, findings);
  const key = keyOf(source, findings);
  if (!meter || !key) return fail(...findings.problems);
  const setting: Setting = { meter, key, unit: unitOf(source, meter, findings) };
  const sounded = soundedIn(source, setting, findings);
  if (findings.problems.length > 0) return fail(...inOrder(findings));
  const melody = melodyFrom(source, setting, sounded, findings);
  if (findings.problems.length > 0) return fail(...inOrder(findings));
  return ok({ melody, remarks: remarksOf(findings) });
}
