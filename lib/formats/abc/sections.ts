import type { Meter } from '../../rhythm';
import type { TextMeasure } from './measures';
import type { Findings } from './problem';
import { leaveOut } from './problem';

export interface SectionMeasure {
  readonly measure: TextMeasure;
  readonly endings?: readonly number[];
}

/** A stretch of measures that is repeated as one. */
export interface Section {
  readonly measures: readonly SectionMeasure[];
  /** How often it is played, at least once. */
  readonly times: number;
  /** The P: that it stands under, if any. */
  readonly part?: string;
}

/** A section that is still being read. */
interface Open {
  readonly measures: SectionMeasure[];
  readonly started: boolean;
  readonly part: string | undefined;
}

/**
 * The tune's sections, by its repeats, endings, double bars and P: fields. A repeat without a start goes back to the
 * latest double bar or end of a repeated section; endings end with their repeat, a double bar, or the tune.
 * Source: ABC 2.1, sections 4.8 to 4.10.
 */
export function sectionsOf(
  measures: readonly TextMeasure[],
  meter: Meter,
  findings: Findings,
): readonly Section[] {
  return withLeadIns(repeatedSections(measures, findings), meter);
}

/** A lone short measure before a part is that part's pickup, played the first time only. */
function withLeadIns(sections: readonly Section[], meter: Meter): readonly Section[] {
  const joined: Section[] = [];
  let leadIn: SectionMeasure | undefined;
  for (const [index, section] of sections.entries()) {
    const [first] = section.measures;
    const alone = section.measures.length === 1 && section.times === 1;
    if (
      !leadIn &&
      first &&
      alone &&
      first.measure.told === undefined &&
      first.measure.ticks < meter.measure &&
      index < sections.length - 1
    ) {
      leadIn = first;
      continue;
    }
    const once = section.times > 1 ? { endings: [1] } : {};
    const before = leadIn ? [{ measure: leadIn.measure, ...once }] : [];
    joined.push({ ...section, measures: [...before, ...section.measures] });
    leadIn = undefined;
  }
  return joined;
}

function repeatedSections(
  measures: readonly TextMeasure[],
  findings: Findings,
): readonly Section[] {
  const sections: Section[] = [];
  let open: Open = { measures: [], started: false, part: undefined };
  let endings: readonly number[] | undefined;
  const close = (times: number) => {
    const { measures: held, part } = open;
    if (times === 1 && open.started && held.length > 0 && !held.some((m) => m.endings))
      leaveOut(findings, 'A repeat sign |: has no :| after it, so its part is played once');
    const most = held.reduce((max, m) => Math.max(max, ...(m.endings ?? [])), times);
    if (held.length > 0)
      sections.push({ measures: held, times: most, ...(part === undefined ? {} : { part }) });
    open = { measures: [], started: false, part };
    endings = undefined;
  };
  for (const measure of measures) {
    const { before, after } = measure;
    if (before.starts || before.part !== undefined) {
      close(1);
      open = { measures: [], started: before.starts, part: before.part ?? open.part };
    }
    if (before.endings) endings = before.endings;
    open.measures.push(endings ? { measure, endings } : { measure });
    const goesOn = after.endings !== undefined;
    if (goesOn) continue;
    if (after.ends > 0) close(after.ends + 1);
    else if (after.double && !after.starts && (endings || !open.started)) close(1);
  }
  close(1);
  return sections;
}
