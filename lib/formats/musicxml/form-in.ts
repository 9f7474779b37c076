import type { MelodyMeasure } from '../../melody';
import type { Meter } from '../../rhythm';
import { chordFields } from '../../tune';
import type { BarLine, TextMeasure } from '../abc/measures';
import { namedOnce } from '../abc/named-parts';
import { partsFrom } from '../abc/parts';
import type { Findings } from '../abc/problem';
import type { Section } from '../abc/sections';
import { sectionsOf } from '../abc/sections';
import type { XmlFindings } from './problem';
import type { WalkedMeasure } from './walk';

/** The bar line between two measures, or before the first and after the last. */
function lineBetween(before: WalkedMeasure | undefined, after: WalkedMeasure | undefined): BarLine {
  const [left, right] = [before?.signs, after?.signs];
  const stops = left?.endingStops === true && right?.ending === undefined;
  return {
    ends: left?.ends ?? 0,
    starts: right?.starts ?? false,
    double:
      stops ||
      (left?.doubleAfter ?? false) ||
      (right?.doubleBefore ?? false) ||
      right?.part !== undefined,
    ...(right?.ending === undefined ? {} : { endings: right.ending }),
    ...(right?.part === undefined ? {} : { part: right.part }),
  };
}

/**
 * Is this the end of a bar that is written as two measures? It is implicit, the one before it is short, and both together are a bar or,
 * before a pickup, less.
 * Source: MusicXML 4.0, attribute implicit: "pickup measures and the last half of mid-measure repeats".
 */
function completes(measures: readonly WalkedMeasure[], index: number, meter: Meter): boolean {
  const [before, own] = [measures[index - 1], measures[index]];
  if (!before || !own?.implicit || before.ticks === 0) return false;
  const { ends, starts, double, endings } = lineBetween(before, own);
  const apart = ends > 0 || starts || double || endings !== undefined;
  return !apart && before.ticks + own.ticks <= meter.measure;
}

/** The measures as the reading of sections takes them; an empty one is a measure of rest. */
export function textMeasures(
  measures: readonly WalkedMeasure[],
  meter: Meter,
  notesOf: (measure: WalkedMeasure) => TextMeasure['notes'],
): readonly TextMeasure[] {
  return measures.map((measure, i) => {
    const { number, where, ticks, chords, told } = measure;
    return {
      number,
      where,
      ticks: ticks === 0 ? (told?.ticks ?? meter.measure) : ticks,
      notes: notesOf(measure),
      ...chordFields(chords),
      ...(told === undefined ? {} : { told }),
      ...(completes(measures, i, meter) ? { goesOn: true } : {}),
      before: lineBetween(measures[i - 1], measure),
      after: lineBetween(measure, measures[i + 1]),
    };
  });
}

/** `sections[i]` is what `parts[i]` was made of, measure by measure. */
export interface Form {
  readonly sections: readonly Section[];
  readonly parts: readonly {
    readonly letter: string;
    readonly measures: readonly MelodyMeasure[];
  }[];
  readonly form: readonly string[];
}

/**
 * Sections, parts and form by the signs of the score, as for ABC: repeats, endings, double bars, rehearsal marks, pickups. Measures that
 * do not add up are problems.
 * @param notesOf what sounds in a measure
 */
export function formOf(
  measures: readonly TextMeasure[],
  meter: Meter,
  notesOf: (measure: TextMeasure) => unknown,
  findings: XmlFindings,
): Form {
  const found: Findings = { problems: [], leftOut: findings.leftOut };
  const all = sectionsOf(measures, meter, found);
  const { sections, order } = namedOnce(all, notesOf) ?? { sections: all };
  const form = partsFrom(sections, order, meter, found);
  for (const { code, where, words } of found.problems)
    findings.problems.push({ code, words, where: { ...where, element: 'measure' } });
  return { sections, ...form };
}
