import * as v from 'valibot';
import { playedValue } from '../../../shared/board/played';
import type { Played } from '../../../shared/board/schema';

/** What is played, out of an answer of the server; undefined where it does not fit. */
export function parseMusic(value: unknown): Played | undefined {
  const parsed = v.safeParse(playedValue, value);
  return parsed.success ? parsed.output : undefined;
}
