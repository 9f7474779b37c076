import * as v from 'valibot';
import type { LeftOut } from './schema';

export type Report = (problem: LeftOut) => void;
export type Schema<T> = v.GenericSchema<unknown, T>;

/** One value of a document, or undefined (and reported) where it does not fit its shape. */
export function read<T>(
  schema: Schema<T>,
  value: unknown,
  report: Report,
  code: LeftOut['code'],
  where: LeftOut['where'],
): T | undefined {
  const parsed = v.safeParse(schema, value);
  if (parsed.success) return parsed.output;
  const what = parsed.issues.map((issue) => issue.message).join(' ');
  report({ code, where, words: `A ${code} in ${where.document} was left out: ${what}` });
  return undefined;
}
