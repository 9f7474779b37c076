import type { MelodyMeasure, MelodyPart } from '../../melody';
import type { Meter } from '../../rhythm';
import type { Ticks } from '../../units';
import { TICKS_PER_QUARTER } from '../../units';
import type { Findings } from './problem';
import { leaveOut } from './problem';
import type { Section, SectionMeasure } from './sections';

export interface PartsAndForm {
  readonly parts: readonly MelodyPart[];
  readonly form: readonly string[];
}

const LETTERS = 'ABCDEFGHIJKLMNOPQRSTUVWXYZ';

function letterAt(index: number): string {
  return LETTERS[index] ?? `${LETTERS[index % 26]}${Math.floor(index / 26) + 1}`;
}

/** Letters of the sections: their P: names if each names one section, else A, B, C in order. */
function lettersOf(sections: readonly Section[], findings: Findings): readonly string[] {
  const names = sections.map(({ part }) => part);
  const usable = names.every((name) => name !== undefined && /^[A-Z]$/.test(name));
  if (usable && new Set(names).size === names.length) return names.map((name) => name ?? '');
  if (names.some((name) => name !== undefined))
    leaveOut(
      findings,
      'The names of the parts (P:) do not name one part each, so the parts are lettered in order',
    );
  return sections.map((_, index) => letterAt(index));
}

function isLastOfItsTime({ measures }: Section, index: number): boolean {
  const [own, next] = [measures[index]?.endings, measures[index + 1]?.endings];
  return index === measures.length - 1 || (own !== undefined && own !== next);
}

/** Lengths of the pickups: short first measures of the sections whose length nothing tells. */
function pickupsOf(sections: readonly Section[], meter: Meter): ReadonlySet<Ticks> {
  const firsts = sections.filter(({ measures }) => measures[0]?.measure.told === undefined);
  return new Set(firsts.map((one) => barTicks(one, 0)).filter((ticks) => ticks < meter.measure));
}

/** A length as ABC writers count it: "1 eighth", "2.5 sixteenths". */
function inUnits(meter: Meter, ticks: Ticks): string {
  const count = Math.round((ticks / meter.slot) * 100) / 100;
  const unit = meter.slot === TICKS_PER_QUARTER / 2 ? 'eighth' : 'sixteenth';
  return `${count} ${unit}${count === 1 ? '' : 's'}`;
}

/** Does a measure complete the bar of the one before it, which is written as two? */
function goesOnAt({ measures }: Section, index: number): boolean {
  return index > 0 && measures[index]?.measure.goesOn === true;
}

/** The first measure of the bar that holds this one. */
function barStart(section: Section, index: number): number {
  return goesOnAt(section, index) ? barStart(section, index - 1) : index;
}

/** Length of the bar that begins with a measure, which may be written as several. */
function barTicks(section: Section, first: number): Ticks {
  const ticks = section.measures[first]?.measure.ticks ?? 0;
  return goesOnAt(section, first + 1) ? ticks + barTicks(section, first + 1) : ticks;
}

/** Is the bar that begins with this measure the pickup of its section? */
function isPickup(section: Section, first: number, meter: Meter): boolean {
  const told = section.measures[first]?.measure.told;
  return first === 0 && told === undefined && barTicks(section, first) <= meter.measure / 2;
}

/** Where in its bar a measure begins: at its line, but for a pickup and for what completes a bar. */
function startOf(section: Section, index: number, meter: Meter): Ticks {
  if (goesOnAt(section, index)) {
    const before = section.measures[index - 1]?.measure.ticks ?? 0;
    return startOf(section, index - 1, meter) + before;
  }
  return isPickup(section, index, meter) ? meter.measure - barTicks(section, index) : 0;
}

/** What is wrong with the length of the bar that a measure ends. */
function checkBar(
  section: Section,
  index: number,
  meter: Meter,
  pickups: ReadonlySet<Ticks>,
  findings: Findings,
): void {
  const measure = section.measures[index]?.measure;
  const first = barStart(section, index);
  if (!measure || goesOnAt(section, index + 1)) return;
  const { told, number, where } = measure;
  const { name, ticks } = told ?? { name: meter.name, ticks: meter.measure };
  const missing = ticks - barTicks(section, first);
  const isRoom = told === undefined && isLastOfItsTime(section, index) && pickups.has(missing);
  if (missing < 0)
    findings.problems.push({
      code: 'measure-long',
      where,
      words: `Measure ${number} is ${inUnits(meter, -missing)} too long for ${name}. Shorten a note or set a bar line.`,
    });
  if (missing > 0 && !isRoom && !isPickup(section, first, meter))
    findings.problems.push({
      code: 'measure-short',
      where,
      words: `Measure ${number} is ${inUnits(meter, missing)} too short for ${name}. Make a note longer or add a rest.`,
    });
}

/** A measure as the melody keeps it; one that does not add up is a problem. */
function measureFrom(
  section: Section,
  index: number,
  meter: Meter,
  pickups: ReadonlySet<Ticks>,
  findings: Findings,
): MelodyMeasure | undefined {
  const held: SectionMeasure | undefined = section.measures[index];
  if (!held) return undefined;
  const { measure, endings } = held;
  const { ticks, notes, chord, chords } = measure;
  const startsAt = startOf(section, index, meter);
  checkBar(section, index, meter, pickups, findings);
  return {
    startsAt,
    ticks,
    notes,
    ...(chord === undefined ? {} : { chord }),
    ...(chords === undefined ? {} : { chords }),
    ...(endings === undefined ? {} : { endings }),
  };
}

/** Endings for a part that the order of parts plays more than once: the second time round they count on. */
function endingsOver(measure: MelodyMeasure, times: number, rounds: number): MelodyMeasure {
  if (measure.endings === undefined || rounds <= 1) return measure;
  const endings = measure.endings;
  const all = Array.from({ length: rounds }, (_, round) => endings.map((n) => n + round * times));
  return { ...measure, endings: all.flat() };
}

/**
 * Parts and form from sections. A short measure at the start of a part is its pickup; one at the end of a part (or of an
 * ending) leaves room for a pickup; one under a meter of its own is as long as that tells. Any other that is short, or too long, is a problem.
 * @param order the header's P:, if it has one
 */
export function partsFrom(
  sections: readonly Section[],
  order: readonly string[] | undefined,
  meter: Meter,
  findings: Findings,
): PartsAndForm {
  const pickups = pickupsOf(sections, meter);
  const letters = lettersOf(sections, findings);
  const known = (name: string) =>
    sections.flatMap((section, i) => ((section.part ?? letters[i]) === name ? [i] : []));
  const unknown = order?.find((name) => known(name).length === 0);
  if (unknown !== undefined)
    leaveOut(
      findings,
      `The order of parts (P:) names ${unknown}, which is not in the tune, so the parts are played as they stand`,
    );
  const indexes = order && unknown === undefined ? order.flatMap(known) : sections.map((_, i) => i);
  const parts = sections.map((section, i) => {
    const rounds = indexes.filter((index) => index === i).length;
    const measures = section.measures.flatMap(
      (_, at) => measureFrom(section, at, meter, pickups, findings) ?? [],
    );
    return {
      letter: letters[i] ?? '',
      measures: measures.map((m) => endingsOver(m, section.times, rounds)),
    };
  });
  const form = indexes.flatMap((i) =>
    Array.from({ length: sections[i]?.times ?? 1 }, () => letters[i] ?? ''),
  );
  return { parts, form };
}
