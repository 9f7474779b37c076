import type { PlainMeasure, Tune } from '../tune';

/** A measure as it is written, with the signs around it. Played as the signs say, the tune comes out in its form. */
export interface WrittenMeasure {
  readonly measure: PlainMeasure;
  /** A part begins here: its letter. */
  readonly part?: string;
  /** A repeat begins before it. */
  readonly opens: boolean;
  /** An ending begins before it: the times through the repeat in which it is played. */
  readonly ending?: readonly number[];
  /** An ending ends after it. */
  readonly endingEnds?: readonly number[];
  /** The repeat ends after it: how often it is played in all (2 after an ending); 0 where none ends. */
  readonly closes: number;
  /** A part ends after it. */
  readonly double: boolean;
}

/** A part in one stretch of the form: how often in a row, and from which of its times on. */
interface Run {
  readonly letter: string;
  readonly first: number;
  readonly times: number;
}

function runsOf(form: readonly string[]): readonly Run[] {
  const runs: Run[] = [];
  const played = new Map<string, number>();
  for (const letter of form) {
    const first = (played.get(letter) ?? 0) + 1;
    played.set(letter, first);
    const last = runs.at(-1);
    if (last?.letter === letter) runs[runs.length - 1] = { ...last, times: last.times + 1 };
    else runs.push({ letter, first, times: 1 });
  }
  return runs;
}

interface Placed {
  readonly measure: PlainMeasure;
  /** Times through the run in which it is played, from 1. */
  readonly times: readonly number[];
}

function placedIn({ first, times }: Run, measures: readonly PlainMeasure[]): readonly Placed[] {
  return measures.flatMap((measure) => {
    const all = Array.from({ length: times }, (_, i) => i + 1);
    const { endings } = measure;
    const played = endings ? all.filter((time) => endings.includes(first - 1 + time)) : all;
    return played.length > 0 ? [{ measure, times: played }] : [];
  });
}

/** Neighbours that are played at the same times, in groups. */
function groupsOf(placed: readonly Placed[]): readonly (readonly Placed[])[] {
  const groups: Placed[][] = [];
  for (const one of placed) {
    const group = groups.at(-1);
    if (group?.[0]?.times.join() === one.times.join()) group.push(one);
    else groups.push([one]);
  }
  return groups;
}

const PLAIN = { opens: false, closes: 0, double: false };

function marked(
  measures: readonly PlainMeasure[],
  first: Partial<WrittenMeasure>,
  last: Partial<WrittenMeasure>,
): readonly WrittenMeasure[] {
  return measures.map((measure, i) => ({
    measure,
    ...PLAIN,
    ...(i === 0 ? first : {}),
    ...(i === measures.length - 1 ? last : {}),
  }));
}

/** Each time through written out. */
function writtenOut(run: Run, placed: readonly Placed[]): readonly WrittenMeasure[] {
  return Array.from({ length: run.times }, (_, i) => i + 1).flatMap((time) => {
    const measures = placed.filter(({ times }) => times.includes(time));
    return marked(
      measures.map(({ measure }) => measure),
      { part: run.letter },
      { double: true },
    );
  });
}

/**
 * Do the endings follow each other as players count, each time through having one? Of two times the last may have none: the first ending is
 * left out then. Of more, nobody would know how often to go back.
 */
function areEndings(groups: readonly (readonly Placed[])[], { times }: Run): boolean {
  const ended = groups.flatMap(([first]) => first?.times ?? []);
  const allEnd = ended.length === times || ended.length === 0 || times === 2;
  return allEnd && ended.every((time, i) => time === i + 1);
}

function endingMarks(
  groups: readonly (readonly Placed[])[],
  run: Run,
): readonly (readonly WrittenMeasure[])[] {
  return groups.map((group) => {
    const times = group[0]?.times ?? [];
    const isLast = times.includes(run.times);
    return marked(
      group.map(({ measure }) => measure),
      { ending: times },
      { endingEnds: times, double: true, closes: isLast ? 0 : 2 },
    );
  });
}

/**
 * A run with repeat signs: what is played the first time only may lead in before them, endings come last. Where that is no way to write
 * it, each time through is written out.
 */
function withRepeats(run: Run, placed: readonly Placed[]): readonly WrittenMeasure[] {
  const groups = groupsOf(placed);
  const isAll = (group: readonly Placed[] | undefined) => group?.[0]?.times.length === run.times;
  const leads = groups.length > 1 && groups[0]?.[0]?.times.join() === '1' && isAll(groups[1]);
  const leadIn = leads ? (groups[0] ?? []) : [];
  const [body, ...endings] = groups.slice(leads ? 1 : 0);
  if (run.times === 1 || !body || !isAll(body) || !areEndings(endings, run))
    return writtenOut(run, placed);
  const part = { part: run.letter };
  const before = marked(
    leadIn.map(({ measure }) => measure),
    part,
    {},
  );
  const close = endings.length === 0 ? { closes: run.times, double: true } : {};
  const open = { opens: true, ...(leads ? {} : part) };
  const inside = marked(
    body.map(({ measure }) => measure),
    open,
    close,
  );
  return [...before, ...inside, ...endingMarks(endings, run).flat()];
}

/** The tune as it is written, with repeats and endings. */
export function writtenMeasures(tune: Pick<Tune, 'parts' | 'form'>): readonly WrittenMeasure[] {
  return runsOf(tune.form).flatMap((run) => {
    const measures = tune.parts.find(({ letter }) => letter === run.letter)?.measures ?? [];
    return withRepeats(run, placedIn(run, measures));
  });
}
