import type { StringNumber } from '../units';

/**
 * The long strings beside a struck one, the next higher first, then the next lower.
 * Source: the fretting hand sounds a neighbour of the string that was struck; common practice, no source.
 */
export function neighboursOf(string: StringNumber): readonly StringNumber[] {
  const long: readonly StringNumber[] = [1, 2, 3, 4];
  return [string - 1, string + 1].flatMap((n) => long.filter((known) => known === n));
}
