import 'server-only';
import type { ApiProblem } from '../../shared/api/problem';

/** An answer that says in words why something cannot be had, and when it may be worth asking again. */
export function refusedAnswer(
  status: number,
  message: string,
  retryAfterSeconds?: number,
): Response {
  const headers: HeadersInit =
    retryAfterSeconds === undefined ? {} : { 'retry-after': String(retryAfterSeconds) };
  return Response.json({ error: { message } } satisfies ApiProblem, { status, headers });
}
