import type { BoardId } from '../../../../../../lib/units';
import type { ApiProblem } from '../../../../../../shared/api/problem';
import { cookieHeader, host } from '../../../../../_door/host';

/** The board as a file to take away, for whoever has a cookie of it or the secret of one of its links (`?key=`). */
export async function GET(
  request: Request,
  { params }: { readonly params: Promise<{ readonly board: string; readonly format: string }> },
): Promise<Response> {
  const { board, format } = await params;
  const id = board as BoardId;
  const key = new URL(request.url).searchParams.get('key') ?? undefined;
  const allowed = await host().mayRead(id, await cookieHeader(), key);
  const refused = (status: number, message: string) =>
    Response.json({ error: { message } } satisfies ApiProblem, { status });
  if (!allowed) return refused(403, 'Open one of the links of this board first.');
  if (format !== 'json') return refused(404, `A board cannot be taken away as ${format} yet.`);
  const text = await host().exportJson(id);
  if (text === undefined) return refused(404, 'There is no such board.');
  return new Response(text, {
    headers: {
      'content-type': 'application/json',
      'content-disposition': `attachment; filename="board-${board}.json"`,
    },
  });
}
