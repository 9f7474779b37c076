import type { BoardId } from '../../../../../../lib/units';
import { cookieHeader, host } from '../../../../../_door/host';
import { refusedAnswer } from '../../../../../_door/refused';

type Where = { readonly params: Promise<{ readonly board: string }> };

/** Longest form that is read: wishes, and a link. */
const MAX_FORM = 2000;

async function sheetAs(
  { params }: Where,
  wishes: URLSearchParams,
  asked: { readonly link?: string; readonly gone: AbortSignal },
): Promise<Response> {
  const { board } = await params;
  const id = board as BoardId;
  const cookies = await cookieHeader();
  if (!(await host().mayRead(id, cookies, wishes.get('key') ?? undefined)))
    return refusedAnswer(403, 'Open one of the links of this board first.');
  const sheet = await host().printSheet(id, wishes, { ...asked, cookieHeader: cookies });
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

/** The sheet as PDF, for whoever has a cookie of the board or the secret of one of its links (`?key=`). */
export function GET(request: Request, where: Where): Promise<Response> {
  return sheetAs(where, new URL(request.url).searchParams, { gone: request.signal });
}

/** The same as a form sends it, with a link to stand on it as a code: in the body, so that no address and no log holds the link. */
export async function POST(request: Request, where: Where): Promise<Response> {
  const text = await request.text();
  if (text.length > MAX_FORM)
    return refusedAnswer(413, 'This is too long for the wishes of a sheet.');
  const wishes = new URLSearchParams(text);
  const link = wishes.get('link');
  wishes.delete('link');
  return sheetAs(where, wishes, { gone: request.signal, ...(link === null ? {} : { link }) });
}
