import type { BoardId } from '../../../../../../lib/units';
import { cookieHeader, host } from '../../../../../_door/host';
import { refusedAnswer } from '../../../../../_door/refused';

/** The sheet as PDF, for whoever has a cookie of the board or the secret of one of its links (`?key=`). */
export async function GET(
  request: Request,
  { params }: { readonly params: Promise<{ readonly board: string }> },
): Promise<Response> {
  const { board } = await params;
  const id = board as BoardId;
  const query = new URL(request.url).searchParams;
  if (!(await host().mayRead(id, await cookieHeader(), query.get('key') ?? undefined)))
    return refusedAnswer(403, 'Open one of the links of this board first.');
  const sheet = await host().printSheet(id, query);
  if (!sheet) return refusedAnswer(404, 'There is no such board.');
  if (!sheet.ok) return refusedAnswer(sheet.status, sheet.words, sheet.retryAfterSeconds);
  return new Response(new Uint8Array(sheet.bytes), {
    headers: {
      'content-type': 'application/pdf',
      'content-disposition': `attachment; filename="sheet-${board}.pdf"`,
      'cache-control': 'no-store',
    },
  });
}
