import type { MelodyMeasure, MelodyPart } from '../melody';
import { MAX_FORM } from '../structure/layout';

/**
 * Lengths of parts that are looked for, in measures, the usual one first.
 * Source: tunes have parts of eight measures, common practice, no source; sixteen and four are its double and half.
 */
const LENGTHS: readonly number[] = [8, 16, 4];
/** Measures at the end of a part that may differ from one time to the next. Common practice: an ending has one or two. */
const ENDING = 2;
/** Shorter parts repeat exactly or not at all. */
const MIN_WITH_ENDINGS = 8;
const LETTERS = 'ABCDEFGHIJKLMNOPQRSTUVWXYZ';

/** A stretch of measures and how often it is played in a row. */
interface Section {
  readonly measures: readonly MelodyMeasure[];
  readonly times: number;
}

function content(measures: readonly MelodyMeasure[]): string {
  return JSON.stringify(measures);
}

function withTimes(measures: readonly MelodyMeasure[], endings: readonly number[]) {
  return measures.map((measure): MelodyMeasure => ({ ...measure, endings }));
}

/** What two stretches of one length have in common, as one with two endings; undefined where that is not most of it. */
function withTwoEndings(
  first: readonly MelodyMeasure[],
  second: readonly MelodyMeasure[],
): readonly MelodyMeasure[] | undefined {
  const same = first.findIndex(
    (measure, i) => content([measure]) !== content([second[i] ?? measure]),
  );
  const ending = first.length - same;
  if (ending > ENDING || first.length < MIN_WITH_ENDINGS) return undefined;
  return [
    ...first.slice(0, same),
    ...withTimes(first.slice(same), [1]),
    ...withTimes(second.slice(same), [2]),
  ];
}

/** The repeat that begins with a measure, if one does, and how many written-out measures it takes. */
function repeatAt(
  measures: readonly MelodyMeasure[],
  from: number,
): (Section & { readonly taken: number }) | undefined {
  for (const length of LENGTHS) {
    const at = (time: number) => measures.slice(from + time * length, from + (time + 1) * length);
    const first = at(0);
    if (at(1).length < length) continue;
    let times = 1;
    while (at(times).length === length && content(at(times)) === content(first)) times += 1;
    if (times > 1) return { measures: first, times, taken: times * length };
    const folded = withTwoEndings(first, at(1));
    if (folded) return { measures: folded, times: 2, taken: 2 * length };
  }
  return undefined;
}

function sectionsIn(measures: readonly MelodyMeasure[]): readonly Section[] {
  const sections: Section[] = [];
  const usual = LENGTHS[0] ?? measures.length;
  for (let from = 0; from < measures.length; ) {
    const repeat = repeatAt(measures, from);
    if (repeat) sections.push(repeat);
    else sections.push({ measures: measures.slice(from, from + usual), times: 1 });
    from += repeat?.taken ?? usual;
  }
  return sections;
}

/** Endings of a part that comes back: the next time round they count on. */
function over(measure: MelodyMeasure, times: number, rounds: number): MelodyMeasure {
  const { endings } = measure;
  if (!endings || rounds === 1) return measure;
  const all = Array.from({ length: rounds }, (_, round) => endings.map((n) => n + round * times));
  return { ...measure, endings: all.flat() };
}

/**
 * The parts and the form of a melody that is written out without repeats, where it plainly repeats: stretches of 8, 16 or 4 measures that
 * are the same note by note, those of 8 and 16 but for one or two measures at their end, which become endings. Played out, it is the melody
 * as it was. Undefined where nothing repeats.
 * @param measures all of it in order; a pickup at the beginning is played the first time only
 */
export function recoveredForm(
  measures: readonly MelodyMeasure[],
): { readonly parts: readonly MelodyPart[]; readonly form: readonly string[] } | undefined {
  const [first] = measures;
  const pickup = first && first.startsAt > 0 ? [first] : [];
  const sections = sectionsIn(measures.slice(pickup.length));
  const names = new Map<string, Section & { readonly letter: string; readonly rounds: number }>();
  const form: string[] = [];
  for (const section of sections) {
    const key = `${section.times} ${content(section.measures)}`;
    const there = names.get(key);
    const letter = there?.letter ?? LETTERS[names.size];
    if (letter === undefined) return undefined;
    names.set(key, { ...section, letter, rounds: (there?.rounds ?? 0) + 1 });
    for (let time = 0; time < section.times; time++) form.push(letter);
  }
  if (form.length === names.size || form.length > MAX_FORM) return undefined;
  const parts = [...names.values()].map(({ letter, measures: own, times, rounds }, i) => {
    const once = times * rounds > 1 ? withTimes(pickup, [1]) : pickup;
    const before = i === 0 ? once : [];
    return { letter, measures: [...before, ...own.map((one) => over(one, times, rounds))] };
  });
  return { parts, form };
}
