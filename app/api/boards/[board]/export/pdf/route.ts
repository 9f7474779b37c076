import type { BoardId } from '../../../../../../lib/units';
import type { ApiProblem } from '../../../../../../shared/api/problem';
import { cookieHeader, host } from '../../../../../_door/host';

/** The sheet as PDF, for whoever has a cookie of the board or the secret of one of its links (`?key=`). */
export async function GET(
  request: Request,
  { params }: { readonly params: Promise<{ readonly board: string }> },
): Promise<Response> {
  const { board } = await params;
  const id = board as BoardId;
  const query = new URL(request.url).searchParams;
  const refused = (status: number, message: string, headers: HeadersInit = {}) =>
    Response.json({ error: { message } } satisfies ApiProblem, { status, headers });
  if (!(await host().mayRead(id, await cookieHeader(), query.get('key') ?? undefined)))
    return refused(403, 'Open one of the links of this board first.');
  const sheet = await host().printSheet(id, query);
  if (!sheet) return refused(404, 'There is no such board.');
  if (!sheet.ok) {
    const { retryAfterSeconds } = sheet;
    const headers: HeadersInit =
      retryAfterSeconds === undefined ? {} : { 'retry-after': String(retryAfterSeconds) };
    return refused(sheet.status, sheet.words, headers);
  }
  return new Response(new Uint8Array(sheet.bytes), {
    headers: {
      'content-type': 'application/pdf',
      'content-disposition': `attachment; filename="sheet-${board}.pdf"`,
      'cache-control': 'no-store',
    },
  });
}
