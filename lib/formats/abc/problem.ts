import type { Problem } from '../../result';

/** A place in the text as editors count it: the first line is 1, its first character is column 1. */
export interface TextPlace {
  readonly line: number;
  readonly column: number;
}

export type AbcProblem = Problem<
  | 'too-long'
  | 'no-tune'
  | 'no-key'
  | 'bad-key'
  | 'no-meter'
  | 'unknown-meter'
  | 'meter-change'
  | 'bad-unit'
  | 'bad-order'
  | 'unknown-sign'
  | 'not-closed'
  | 'bad-length'
  | 'note-too-short'
  | 'broken-rhythm'
  | 'tuplet'
  | 'measure-short'
  | 'measure-long'
  | 'too-many-measures'
  | 'no-notes',
  TextPlace
>;

/** What a reading collects on its way: what is wrong, and what was understood but left out. */
export interface Findings {
  readonly problems: AbcProblem[];
  /** Each said once, with how often it occurred. */
  readonly leftOut: Map<string, number>;
}

export function leaveOut(findings: Findings, what: string): void {
  findings.leftOut.set(what, (findings.leftOut.get(what) ?? 0) + 1);
}

/** The remarks in words, in the order in which they first came up. */
export function remarksOf(findings: Findings): readonly string[] {
  return [...findings.leftOut].map(([what, times]) =>
    times === 1 ? `${what}.` : `${what} (${times} times).`,
  );
}
