import type { PlainMeasure } from '../../lib/tune';
import { playOrder } from '../../lib/tune';
import type { Board, Plan } from './schema';

/** The measures of the tune in the order in which one pass first meets them, each once. */
export function measuresOf(board: Pick<Board, 'tune'>): readonly PlainMeasure[] {
  return [...new Map(playOrder(board.tune).map(({ measure }) => [measure.id, measure])).values()];
}

/** The plan to play: the published one, or the plain tune as the only pass where none is. */
export function planToPlay(board: Pick<Board, 'tune' | 'plan'>): Plan {
  if (board.plan) return board.plan;
  const plain = Object.fromEntries(measuresOf(board).map(({ id }) => [id, 'plain' as const]));
  return { passes: [plain], variants: {} };
}
