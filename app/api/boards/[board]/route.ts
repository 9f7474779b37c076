import type { BoardId } from '../../../../lib/units';
import { ADDRESS_HEADER } from '../../../../shared/host-key';
import { host } from '../../../_door/host';
import { refusedAnswer } from '../../../_door/refused';

/** Deletes a board with everything on it, for whoever shows the operator's token (`BACKUP_TOKEN`): 204, or in words why not. */
export async function DELETE(
  request: Request,
  { params }: { readonly params: Promise<{ readonly board: string }> },
): Promise<Response> {
  const { board } = await params;
  const authorization = request.headers.get('authorization') ?? undefined;
  const address = request.headers.get(ADDRESS_HEADER) ?? undefined;
  const deleted = await host().deleteBoard(board as BoardId, authorization, address);
  if (deleted.ok) return new Response(null, { status: 204 });
  return refusedAnswer(deleted.status, deleted.words);
}
