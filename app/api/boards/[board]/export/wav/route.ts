import type { BoardId } from '../../../../../../lib/units';
import { cookieHeader, host } from '../../../../../_door/host';
import { refusedAnswer } from '../../../../../_door/refused';

type Where = { readonly params: Promise<{ readonly board: string }> };

/** A practice track to take away, for whoever has a cookie of the board or the secret of one of its links (`?key=`). */
export async function GET(request: Request, { params }: Where): Promise<Response> {
  const { board } = await params;
  const id = board as BoardId;
  const query = new URL(request.url).searchParams;
  const cookies = await cookieHeader();
  if (!(await host().mayRead(id, cookies, query.get('key') ?? undefined)))
    return refusedAnswer(403, 'Open one of the links of this board first.');
  const track = await host().exportWav(id, query, cookies);
  if (!track) return refusedAnswer(404, 'There is no such board.');
  if (!track.ok) return refusedAnswer(track.status, track.words, track.retryAfterSeconds);
  return new Response(track.body, {
    headers: {
      'content-type': 'audio/wav',
      'content-disposition': `attachment; filename="board-${board}.wav"`,
      // Packing it would cost more than it saves.
      'cache-control': 'no-store, no-transform',
    },
  });
}

/** What `GET` would say, without the track: nobody reads it, so its place is given back at once. */
export async function HEAD(request: Request, where: Where): Promise<Response> {
  const { body, status, headers } = await GET(request, where);
  await body?.cancel();
  return new Response(null, { status, headers });
}
