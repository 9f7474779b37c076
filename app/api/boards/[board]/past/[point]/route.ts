import type { BoardId } from '../../../../../../lib/units';
import { cookieHeader, host } from '../../../../../_door/host';
import { refusedAnswer } from '../../../../../_door/refused';

const STATUS = { 'leaders-only': 403, 'no-such-point': 404, 'not-kept': 503 } as const;

/** Returns the board to a kept point: 204, or in words why not. For leaders. */
export async function POST(
  _request: Request,
  { params }: { readonly params: Promise<{ readonly board: string; readonly point: string }> },
): Promise<Response> {
  const { board, point } = await params;
  const done = await host().returnToPast(board as BoardId, Number(point), await cookieHeader());
  if (done.ok) return new Response(null, { status: 204 });
  const [problem] = done.problems;
  return refusedAnswer(STATUS[problem?.code ?? 'no-such-point'], problem?.words ?? '');
}
