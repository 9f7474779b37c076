import type { Source } from './source';

/** A place where a file breaks a rule of the structure. */
export interface Violation {
  readonly path: string;
  /** Counted from 1. */
  readonly line: number;
  readonly words: string;
}

/** A rule of the structure: all places that break it. It sees every file at once, since cycles are made of several. */
export type Rule = (sources: readonly Source[]) => Violation[];

/** One violation as a line of text, the way editors make it a link. */
export function violationLine({ path, line, words }: Violation): string {
  return `${path}:${line} ${words}`;
}
