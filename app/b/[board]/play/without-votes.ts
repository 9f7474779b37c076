import { agreedOn, nameOfPlayed } from '../../../../shared/board/played';
import type { Board } from '../../../../shared/board/schema';

/**
 * The board as far as it is played from: what was proposed and voted comes over the socket, and would make the page heavy; and so would
 * what is played beside what is agreed, where they are the same.
 */
export function withoutVotes({ played, exercise: _, ...board }: Board): Board {
  const { orders } = board;
  const differs = played && nameOfPlayed(played) !== nameOfPlayed(agreedOn(board));
  return {
    ...board,
    people: [],
    variants: [],
    approvals: {},
    orders: { ...orders, hidden: [], called: {} },
    gone: [],
    renewed: [],
    leftOut: [],
    ...(differs ? { played } : {}),
  };
}
