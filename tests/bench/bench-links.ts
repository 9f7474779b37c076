import type { BoardId } from '../../lib/units';
import { linkMark } from '../../server/links';
import type { KeptLink } from '../../server/store/store';
import type { Role } from '../../shared/board/roles';
import { ROLES } from '../../shared/board/roles';

function hashOf(board: BoardId, role: Role): string {
  return `${board} ${role}`;
}

/** Links of a board that is put into a store without the program, for `markOf`. Nobody knows a secret that opens one. */
export function linksOf(board: BoardId): readonly KeptLink[] {
  return ROLES.map((role) => ({ role, hash: hashOf(board, role) }));
}

/** What a cookie of that board names as the link by which it was made. */
export function markOf(board: BoardId, role: Role): string {
  return linkMark(hashOf(board, role));
}
