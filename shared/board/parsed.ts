import * as v from 'valibot';
import type { LeftOut } from './schema';

export type Report = (problem: LeftOut) => void;
export type Schema<T> = v.GenericSchema<unknown, T>;

/** What parsing a value with a schema came to. */
type Parsed<T> = v.SafeParseResult<Schema<T>>;

/** A schema that parses each object once. */
export type Remembering<T> = (value: unknown) => Parsed<T>;

/**
 * The schema for values that are large or many, and read again with every change of their board: a value in a document is never changed in
 * place, only replaced, so an object that was good stays good, and is the same value when it is read again.
 */
export function remembering<T>(schema: Schema<T>): Remembering<T> {
  const good = new WeakMap<object, Parsed<T>>();
  return (value) => {
    const known = typeof value === 'object' && value !== null ? good.get(value) : undefined;
    if (known) return known;
    const parsed = v.safeParse(schema, value);
    if (parsed.success && typeof value === 'object' && value !== null) good.set(value, parsed);
    return parsed;
  };
}

/** One value of a document, or undefined (and reported) where it does not fit its shape. */
export function read<T>(
  schema: Schema<T> | Remembering<T>,
  value: unknown,
  report: Report,
  code: LeftOut['code'],
  where: LeftOut['where'],
): T | undefined {
  const parsed = typeof schema === 'function' ? schema(value) : v.safeParse(schema, value);
  if (parsed.success) return parsed.output;
  const what = parsed.issues.map((issue) => issue.message).join(' ');
  report({ code, where, words: `A ${code} in ${where.document} was left out: ${what}` });
  return undefined;
}
