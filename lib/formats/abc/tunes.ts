import { linesOf, tuneLines } from './source';

/** A tune of a text that holds several, as it is named there. */
export interface AbcTitle {
  /** Counts from 1, as `readAbc` takes it. */
  readonly tune: number;
  readonly title: string;
  /** As written in M: and K:; empty where nothing is. */
  readonly meter: string;
  readonly key: string;
  /** Where it begins. The first line is 1. */
  readonly line: number;
}

function fieldOf(lines: readonly string[], letter: string): string {
  const line = lines.find((one) => one.startsWith(`${letter}:`)) ?? '';
  const text = line
    .slice(2)
    .replace(/(^|[^\\])%.*$/, '$1')
    .trim();
  return text.slice(0, 80);
}

/** All tunes of a text, so that one can be chosen; nothing of their music is read. Time is linear in the text's length. */
export function abcTunes(text: string): readonly AbcTitle[] {
  const lines = linesOf(text);
  return tuneLines(lines).map(([first, last], i) => {
    const own = lines.slice(first, last);
    const end = own.findIndex((line) => line.startsWith('K:'));
    const header = end < 0 ? own : own.slice(0, end + 1);
    return {
      tune: i + 1,
      title: fieldOf(header, 'T') || 'Untitled',
      meter: fieldOf(header, 'M'),
      key: fieldOf(header, 'K'),
      line: first + 1,
    };
  });
}
