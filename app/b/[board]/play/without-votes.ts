import type { Board } from '../../../../shared/board/schema';

/** The board as far as it is played from: what was proposed and voted comes over the socket, and would make the page heavy. */
export function withoutVotes(board: Board): Board {
  return { ...board, people: [], variants: [], approvals: {}, leftOut: [] };
}
