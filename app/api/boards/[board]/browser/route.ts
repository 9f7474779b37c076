import type { BoardId } from '../../../../../lib/units';
import type { ApiProblem } from '../../../../../shared/api/problem';
import { cookieHeader, host } from '../../../../_door/host';

/** Longest body that is read: a code and a little. */
const MAX_BODY = 200;

async function codeOf(request: Request): Promise<string | undefined> {
  const text = await request.text();
  if (text.length > MAX_BODY) return undefined;
  try {
    const body: unknown = JSON.parse(text);
    const named = typeof body === 'object' && body !== null && 'code' in body;
    return named && typeof body.code === 'string' ? body.code : undefined;
  } catch (error) {
    if (!(error instanceof SyntaxError)) throw error;
    return undefined;
  }
}

/** Makes this browser the person whose code it has: 204 with a cookie, or in words why not. */
export async function POST(
  request: Request,
  { params }: { readonly params: Promise<{ readonly board: string }> },
): Promise<Response> {
  const { board } = await params;
  const code = await codeOf(request);
  const refused = (status: number, message: string) =>
    Response.json({ error: { message } } satisfies ApiProblem, { status });
  if (code === undefined) return refused(400, 'Send { "code": "…" }.');
  const used = await host().openCode(board as BoardId, code, await cookieHeader());
  if (used.ok)
    return new Response(null, { status: 204, headers: { 'set-cookie': used.value.setCookie } });
  const [problem] = used.problems;
  return refused(problem?.code === 'wait' ? 429 : 403, problem?.words ?? '');
}
