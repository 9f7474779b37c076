import 'server-only';
import type { BoardId } from '../../lib/units';
import type { LinkCode } from '../../shared/api/link-code';
import type { Board } from '../../shared/board/schema';
import type { Me } from '../_islands/session/session';
import { cookieHeader, host } from './host';

/** The board for somebody with a cookie of it or with the secret of one of its links; undefined for anybody else. */
export async function readVisit(
  board: string,
  key: string | undefined,
): Promise<Board | undefined> {
  const id = board as BoardId;
  const cookies = await cookieHeader();
  if (!(await host().mayRead(id, cookies, key))) return undefined;
  const me = await host().visitorOf(id, cookies);
  return host().readBoard(id, me?.participant);
}

/** The code to scan on the sheet that the server itself is printing, opened by the key of that print. */
export function printedCode(board: string, key: string | undefined): LinkCode | undefined {
  return key === undefined ? undefined : host().codeOnSheet(board as BoardId, key);
}

/** A visitor and the board they may see. */
interface Visit {
  readonly me: Me;
  readonly board: Board;
}

/** A visitor and their board with what is being played; undefined for somebody without a link of it, or where there is no such board. */
export async function visitToPlay(board: string): Promise<Visit | undefined> {
  const id = board as BoardId;
  const me = await host().visitorOf(id, await cookieHeader());
  if (!me) return undefined;
  const value = await host().readBoard(id, me.participant);
  return value && { me, board: value };
}

/** A visitor and their board, without the copy of what is being played: only the play page needs that before the socket brings it. */
export async function visit(board: string): Promise<Visit | undefined> {
  const found = await visitToPlay(board);
  if (!found) return undefined;
  const { played: _, ...rest } = found.board;
  return { me: found.me, board: rest };
}
