import type { ParticipantId } from '../../lib/units';
import type { Board } from './schema';

/** How many people approve each variant and each plain measure, by ballot id. */
export function tallyOf(board: Pick<Board, 'approvals'>): ReadonlyMap<string, number> {
  const tally = new Map<string, number>();
  for (const ids of Object.values(board.approvals))
    for (const id of ids) tally.set(id, (tally.get(id) ?? 0) + 1);
  return tally;
}

/** Everybody who approves something, in the order in which they stand in a plan request's ballots. */
export function votersOf(board: Pick<Board, 'approvals'>): readonly ParticipantId[] {
  return Object.keys(board.approvals)
    .sort()
    .map((id) => id as ParticipantId);
}
