import { playedNamed } from '../../../../../shared/board/play-state';
import { playedValueOf } from '../../../../../shared/board/played';
import { visitToPlay } from '../../../../_door/visit';

/** What is played, or agreed, under the name that is asked for: what a play page sounds from. */
export async function GET(
  request: Request,
  { params }: { readonly params: Promise<{ readonly board: string }> },
): Promise<Response> {
  const visitor = await visitToPlay((await params).board);
  if (!visitor) return new Response('This board needs a link.', { status: 404 });
  const name = new URL(request.url).searchParams.get('name') ?? '';
  const played = playedNamed(visitor.board, name);
  if (!played) return new Response('This is not played here any more.', { status: 404 });
  return Response.json(playedValueOf(played), {
    headers: { 'cache-control': 'private, no-store' },
  });
}
