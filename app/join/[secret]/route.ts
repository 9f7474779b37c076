import { boardPath } from '../../../shared/board/paths';
import { cookieHeader, host } from '../../_door/host';

/** What the link opens; "later" while the server cannot look it up. */
async function opening(secret: string) {
  try {
    return await host().openLink(secret, await cookieHeader());
  } catch (error) {
    // By its name: the class is another one among the pages' modules.
    if (error instanceof Error && error.name === 'StoreError') return 'later';
    throw error;
  }
}

/** Exchanges a link for a cookie that names the participant and the role, and goes on to the board. */
export async function GET(
  _request: Request,
  { params }: { readonly params: Promise<{ readonly secret: string }> },
): Promise<Response> {
  const { secret } = await params;
  const found = await opening(secret);
  const opened = found === 'later' ? undefined : found;
  const elsewhere = found === 'later' ? '/?link=later' : '/?link=unknown';
  const location = opened ? boardPath(opened.board) : elsewhere;
  const answer = new Response(null, { status: 303, headers: { location } });
  if (opened) answer.headers.append('set-cookie', opened.setCookie);
  answer.headers.set('cache-control', 'no-store');
  answer.headers.set('referrer-policy', 'no-referrer');
  return answer;
}
