/**
 * What was found wrong with something people gave us. `words` say what happened and what helps;
 * `where` is a stroke, a line and column, or a path, as the rule that raised it documents.
 */
export interface Problem<Code extends string = string, Where = unknown> {
  readonly code: Code;
  readonly where: Where;
  readonly words: string;
}

/** A value, or all the problems that stood in its way (never an empty list). */
export type Result<T, P = Problem> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly problems: readonly P[] };

export function ok<T>(value: T): { readonly ok: true; readonly value: T } {
  return { ok: true, value };
}

export function fail<P>(...problems: readonly P[]): {
  readonly ok: false;
  readonly problems: readonly P[];
} {
  if (problems.length === 0) throw new RangeError('a failure needs at least one problem');
  return { ok: false, problems };
}
