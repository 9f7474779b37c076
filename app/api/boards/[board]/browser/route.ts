import * as v from 'valibot';
import type { BoardId } from '../../../../../lib/units';
import { ADDRESS_HEADER } from '../../../../../shared/host-key';
import { bodyOf } from '../../../../_door/body';
import { cookieHeader, host } from '../../../../_door/host';
import { refusedAnswer } from '../../../../_door/refused';

/** Longest body that is read: a code and a little. */
const MAX_BODY = 200;

const codeRequest = v.object({ code: v.string() });

/** Makes this browser the person whose code it has: 204 with a cookie, or in words why not. */
export async function POST(
  request: Request,
  { params }: { readonly params: Promise<{ readonly board: string }> },
): Promise<Response> {
  const { board } = await params;
  const asked = await bodyOf(request, MAX_BODY, codeRequest);
  if (!asked) return refusedAnswer(400, 'Send { "code": "…" }.');
  const address = request.headers.get(ADDRESS_HEADER) ?? undefined;
  const cookies = await cookieHeader();
  const used = await host().openCode(board as BoardId, asked.code, cookies, address);
  if (used.ok)
    return new Response(null, { status: 204, headers: { 'set-cookie': used.value.setCookie } });
  const [problem] = used.problems;
  return refusedAnswer(problem?.code === 'wait' ? 429 : 403, problem?.words ?? '');
}
