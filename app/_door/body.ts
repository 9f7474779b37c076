import * as v from 'valibot';

/**
 * What a request asks for, of a body of JSON that no browser of ours makes longer than this.
 * @param longest characters
 * @returns undefined where the body is longer or does not fit the schema
 */
export async function bodyOf<T>(
  request: Request,
  longest: number,
  schema: v.GenericSchema<unknown, T>,
): Promise<T | undefined> {
  const text = await request.text();
  if (text.length > longest) return undefined;
  const parsed = v.safeParse(v.pipe(v.string(), v.parseJson(), schema), text);
  return parsed.success ? parsed.output : undefined;
}
