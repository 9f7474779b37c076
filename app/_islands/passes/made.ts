import { whyCell } from '../../../lib/passes/explain';
import { heardShares } from '../../../lib/passes/heard';
import { toNumber } from '../../../lib/rational';
import type { MadePlan } from '../../../shared/board/plan';
import type { Board } from '../../../shared/board/schema';
import { votersOf } from '../../../shared/board/tally';
import type { Heard, MadePasses } from './message';

function heardOf(board: Board, { made, request }: MadePlan): readonly Heard[] {
  const voters = votersOf(board);
  const shares = heardShares(
    request.measures.map(({ id, ballots }) => ({
      visits: request.form.filter((visit) => visit === id).length,
      ballots,
      played: made.passes.map((pass) => pass.get(id) ?? 'plain'),
    })),
  );
  return shares.flatMap(({ share, approved, played }, index) => {
    const person = voters[index];
    return person ? [{ person, share: share && toNumber(share), approved, played }] : [];
  });
}

/** All that the page says of passes that were made. Takes a few ms more than making them. */
export function madePasses(board: Board, planned: MadePlan): MadePasses {
  const { plan, made, request } = planned;
  const notes = new Map(
    request.measures.map(({ id, choices }) => [
      id,
      new Map(choices.map((choice) => [choice.id, choice.busyness])),
    ]),
  );
  return {
    plan,
    why: made.passes.map((_, pass) =>
      Object.fromEntries(
        request.measures.map(({ id }) => [id, whyCell(made, request, pass + 1, id)]),
      ),
    ),
    busyness: made.passes.map((pass) =>
      request.form.reduce((sum, id) => sum + (notes.get(id)?.get(pass.get(id) ?? 'plain') ?? 0), 0),
    ),
    heard: heardOf(board, planned),
    optimal: made.ordered.optimal,
    gap: made.ordered.gap,
    cost: made.ordered.cost,
    parts: made.ordered.parts,
    unheardFamilies: made.unheardFamilies,
  };
}
