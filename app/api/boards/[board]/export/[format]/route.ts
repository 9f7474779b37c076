import type { BoardId } from '../../../../../../lib/units';
import type { ExportFile } from '../../../../../../shared/api/export-file';
import type { ApiProblem } from '../../../../../../shared/api/problem';
import { cookieHeader, host } from '../../../../../_door/host';

function refused(status: number, message: string): Response {
  return Response.json({ error: { message } } satisfies ApiProblem, { status });
}

function taken({ name, type, body }: ExportFile): Response {
  const headers = {
    'content-type': type,
    'content-disposition': `attachment; filename="${name}"`,
    'cache-control': 'no-store',
  };
  return new Response(typeof body === 'string' ? body : new Uint8Array(body), { headers });
}

/** The board as a file to take away, for whoever has a cookie of it or the secret of one of its links (`?key=`). */
export async function GET(
  request: Request,
  { params }: { readonly params: Promise<{ readonly board: string; readonly format: string }> },
): Promise<Response> {
  const { board, format } = await params;
  const id = board as BoardId;
  const query = new URL(request.url).searchParams;
  const allowed = await host().mayRead(id, await cookieHeader(), query.get('key') ?? undefined);
  if (!allowed) return refused(403, 'Open one of the links of this board first.');
  const [pass, holds] = [query.get('pass'), query.get('holds')];
  const file = await host().exportFile(id, {
    format,
    ...(pass === null ? {} : { pass }),
    ...(holds === null ? {} : { holds }),
  });
  if (file === undefined) return refused(404, 'There is no such board.');
  if (!file.ok) return refused(404, file.problems.map(({ words }) => words).join(' '));
  return taken(file.value);
}
