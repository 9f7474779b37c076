import { boardPath } from '../../../shared/board/paths';
import { cookieHeader, host } from '../../_door/host';

/** Exchanges a link for a cookie that names the participant and the role, and goes on to the board. */
export async function GET(
  _request: Request,
  { params }: { readonly params: Promise<{ readonly secret: string }> },
): Promise<Response> {
  const { secret } = await params;
  const opened = await host().openLink(secret, await cookieHeader());
  const location = opened ? boardPath(opened.board) : '/?link=unknown';
  const answer = new Response(null, { status: 303, headers: { location } });
  if (opened) answer.headers.append('set-cookie', opened.setCookie);
  answer.headers.set('cache-control', 'no-store');
  answer.headers.set('referrer-policy', 'no-referrer');
  return answer;
}
