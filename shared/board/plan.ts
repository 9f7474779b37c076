import type { MeasureVotes } from '../../lib/passes/plan';
import { choosePasses } from '../../lib/passes/plan';
import { playOrder } from '../../lib/tune';
import type { MeasureId, VariantId } from '../../lib/units';
import type { Board, Plan, PlannedVariant } from './schema';
import { plainId } from './schema';

/** How many people approve each variant and each plain measure, by ballot id. */
export function tallyOf(board: Pick<Board, 'approvals'>): ReadonlyMap<string, number> {
  const tally = new Map<string, number>();
  for (const ids of Object.values(board.approvals))
    for (const id of ids) tally.set(id, (tally.get(id) ?? 0) + 1);
  return tally;
}

/** The measures of the tune in the order in which one pass first meets them, each once. */
export function measureIdsOf(board: Pick<Board, 'tune'>): readonly MeasureId[] {
  return [...new Set(playOrder(board.tune).map((visit) => visit.measure.id))];
}

/** The plan that the board's votes make now, with everything that is needed to play it. */
export function planOf(board: Board): Plan {
  const tally = tallyOf(board);
  const votes = measureIdsOf(board).map((measure): MeasureVotes => {
    const variants = board.variants
      .filter((variant) => variant.measure === measure)
      .map(({ id, arrived }) => ({ id, arrived, approvals: tally.get(id) ?? 0 }));
    const overruled = board.overruled[measure];
    const stands = overruled === 'plain' || variants.some((variant) => variant.id === overruled);
    return {
      measure,
      variants,
      plainApprovals: tally.get(plainId(measure)) ?? 0,
      ...(overruled !== undefined && stands ? { overruled } : {}),
    };
  });
  const choices = choosePasses(votes, board.passes);
  const used = new Set(choices.flatMap((choice) => [...choice.values()]));
  const names = new Map(board.people.map((person) => [person.id, person.name]));
  const variants: Record<VariantId, PlannedVariant> = {};
  for (const { id, measure, strokes, author } of board.variants)
    if (used.has(id)) variants[id] = { measure, strokes, by: names.get(author) ?? '' };
  return { passes: choices.map((choice) => Object.fromEntries(choice)), variants };
}

/** The plan to play: the published one, or the plain tune as the only pass where none is. */
export function planToPlay(board: Board): Plan {
  if (board.plan) return board.plan;
  const plain = Object.fromEntries(measureIdsOf(board).map((id) => [id, 'plain' as const]));
  return { passes: [plain], variants: {} };
}
