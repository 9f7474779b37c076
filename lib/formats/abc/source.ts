import type { Findings, TextPlace } from './problem';
import { leaveOut } from './problem';

/** An information field: its letter, its text, and where the text begins. */
export interface Field {
  readonly letter: string;
  readonly value: string;
  readonly where: TextPlace;
}

/** A line of the tune's body. Music keeps its columns: what is no music in it was blanked, not cut out. */
export type BodyLine =
  | { readonly kind: 'music'; readonly text: string; readonly line: number }
  | { readonly kind: 'field'; readonly field: Field };

/** The first tune of a text, taken apart into lines. `body` starts after the K: that ends the header. */
export interface AbcSource {
  readonly header: readonly Field[];
  readonly body: readonly BodyLine[];
  /** How far a sharp or flat written in a bar reaches. Source: ABC 2.1, 11.3; its default is "pitch". */
  readonly propagate: 'not' | 'octave' | 'pitch';
}

/** Fields that carry words about the tune, not music. Source: ABC 2.1, section 3, table of fields. */
const WORDS_ONLY = new Set('ABCDFGHNORSWZwXTr'.split(''));

/** Without a comment (% to the end of the line; \% is a percent sign). */
function withoutComment(line: string): string {
  const match = /(^|[^\\])%/.exec(line);
  return match ? line.slice(0, match.index + (match[1] ?? '').length) : line;
}

function fieldAt(text: string, line: number): Field | undefined {
  const match = /^([A-Za-z+]):(\s*)(.*)$/.exec(text);
  if (!match || /^[A-Ga-gz]:[|:]/.test(text)) return undefined;
  const value = (match[3] ?? '').trimEnd();
  const column = 3 + (match[2] ?? '').length;
  return { letter: match[1] ?? '', value, where: { line, column } };
}

/** First and last line (from 0, last excluded) of each tune: from X: (or, where there is none, the first field) to the next empty line or X:. */
export function tuneLines(lines: readonly string[]): readonly (readonly [number, number])[] {
  const starts = lines.flatMap((line, i) => (/^X:/.test(line) ? [i] : []));
  const bare = lines.findIndex((line) => /^[A-Za-z]:/.test(line));
  const firsts = starts.length > 0 ? starts : bare < 0 ? [] : [bare];
  return firsts.map((first, i) => {
    const next = firsts[i + 1] ?? lines.length;
    let last = first + 1;
    while (last < next && lines[last]?.trim() !== '') last += 1;
    return [first, last];
  });
}

/** The lines of a text, however they end. */
export function linesOf(text: string): readonly string[] {
  return text.replace(/^\uFEFF/, '').split(/\r\n|\r|\n/);
}

function propagateFrom(directive: string): AbcSource['propagate'] | undefined {
  const match = /^propagate-accidentals\s+(not|octave|pitch)\b/.exec(directive);
  return match?.[1] === 'not' || match?.[1] === 'octave' || match?.[1] === 'pitch'
    ? match[1]
    : undefined;
}

/**
 * One tune of an ABC text as header fields and body lines. Fields that stand before the first X: (a file header) come first in the header.
 * What is left out is noted in `findings`.
 * @param text   with \n, \r\n or \r between its lines
 * @param wanted which tune, from 1; absent: the first
 */
export function sourceOf(text: string, findings: Findings, wanted?: number): AbcSource {
  const lines = linesOf(text);
  const tunes = tuneLines(lines);
  const [first, last] = tunes[(wanted ?? 1) - 1] ?? [0, 0];
  const headEnd = tunes[0]?.[0] ?? 0;
  if (tunes.length > 1 && wanted === undefined)
    leaveOut(findings, 'The text holds several tunes and the first one was taken');
  const header: Field[] = [];
  const body: BodyLine[] = [];
  let propagate: AbcSource['propagate'] = 'pitch';
  let inHeader = true;
  for (const [index, raw] of lines.slice(0, last).entries()) {
    if (index >= headEnd && index < first) continue;
    const line = index + 1;
    const directive = /^%%\s*(.*)$/.exec(raw)?.[1];
    if (directive !== undefined) {
      const found = propagateFrom(directive);
      if (found) propagate = found;
      else leaveOut(findings, `The directive %%${directive.split(/\s/)[0]} was left out`);
      continue;
    }
    const content = withoutComment(raw).trimEnd();
    const field = fieldAt(content, line);
    if (index < first && (!field || field.letter === 'K')) continue;
    if (field && inHeader) {
      header.push(field);
      if (field.letter === 'K') inHeader = false;
    } else if (field && !WORDS_ONLY.has(field.letter)) {
      body.push({ kind: 'field', field });
    } else if (!field && content !== '') {
      if (inHeader && header.length === 0) continue;
      body.push({ kind: 'music', text: content.replace(/\\$/, ' '), line });
    }
  }
  return { header, body, propagate };
}

/** The last field of this letter in the header; in a list, an earlier one belongs to the file and is overruled. */
export function headerField(source: AbcSource, letter: string): Field | undefined {
  return source.header.findLast((field) => field.letter === letter);
}
