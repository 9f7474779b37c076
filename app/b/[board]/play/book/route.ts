import { stageOf } from '../../../../../shared/board/played';
import { host } from '../../../../_door/host';
import { visitToPlay } from '../../../../_door/visit';
import { bookOf } from '../../../../_parts/book';

/** All passes of a board, drawn: what a play page fetches ahead, so that it can go on while its line is down. */
export async function GET(
  _request: Request,
  { params }: { readonly params: Promise<{ readonly board: string }> },
): Promise<Response> {
  const visitor = await visitToPlay((await params).board);
  if (!visitor) return new Response('This board needs a link.', { status: 404 });
  return Response.json(bookOf(stageOf(visitor.board, host().now()).played), {
    headers: { 'cache-control': 'private, no-store' },
  });
}
