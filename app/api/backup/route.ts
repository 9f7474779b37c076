import type { ApiProblem } from '../../../shared/api/problem';
import { host } from '../../_door/host';

export const dynamic = 'force-dynamic';

/** A copy of the whole database while the server runs, for whoever shows the operator's token (`BACKUP_TOKEN`). */
export async function GET(request: Request): Promise<Response> {
  const taken = await host().backup(request.headers.get('authorization') ?? undefined);
  if (!taken.ok) {
    const problem: ApiProblem = { error: { message: taken.words } };
    return Response.json(problem, { status: taken.status });
  }
  return new Response(taken.body, {
    headers: {
      'content-type': 'application/vnd.sqlite3',
      'content-length': String(taken.bytes),
      'content-disposition': 'attachment; filename="passround.sqlite"',
      'cache-control': 'no-store',
    },
  });
}
