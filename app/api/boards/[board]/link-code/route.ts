import type { BoardId } from '../../../../../lib/units';
import type { LinkCode } from '../../../../../shared/api/link-code';
import { linkCodeRequest } from '../../../../../shared/api/link-code';
import { bodyOf } from '../../../../_door/body';
import { host } from '../../../../_door/host';
import { refusedAnswer } from '../../../../_door/refused';

/** Longest body that is read: a link and a little. */
const MAX_BODY = 600;

/** A join or watch link of the board as a code to scan. Whoever sends a link holds it already, so nothing else is asked of them. */
export async function POST(
  request: Request,
  { params }: { readonly params: Promise<{ readonly board: string }> },
): Promise<Response> {
  const { board } = await params;
  const asked = await bodyOf(request, MAX_BODY, linkCodeRequest);
  if (!asked) return refusedAnswer(400, 'Send { "link": "https://…/join/…" }.');
  const drawn = await host().drawLink(board as BoardId, asked.link);
  if (!drawn.ok) return refusedAnswer(400, drawn.problems.map(({ words }) => words).join(' '));
  return Response.json(drawn.value satisfies LinkCode, {
    headers: { 'cache-control': 'no-store' },
  });
}
