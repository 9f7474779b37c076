import 'server-only';
import type { BoardId } from '../../lib/units';
import type { Board } from '../../shared/board/schema';
import type { Me } from '../_islands/session/session';
import { cookieHeader, host } from './host';

/** A visitor and the board they may see; undefined for somebody without a link of it, or where there is no such board. */
export async function visit(
  board: string,
): Promise<{ readonly me: Me; readonly board: Board } | undefined> {
  const id = board as BoardId;
  const me = host().sessionOf(id, await cookieHeader());
  if (!me) return undefined;
  const value = await host().readBoard(id, me.participant);
  return value && { me, board: value };
}
