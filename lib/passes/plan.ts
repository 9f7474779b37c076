import type { MeasureId, VariantId } from '../units';

/** What a group has said about one measure. */
export interface MeasureVotes {
  readonly measure: MeasureId;
  /** Variants that may be chosen, with how many approve each and when each was proposed (order of arrival). */
  readonly variants: readonly {
    readonly id: VariantId;
    readonly approvals: number;
    readonly arrived: number;
  }[];
  /** How many approve the plain measure. */
  readonly plainApprovals: number;
  /** The leader's own choice for every pass but the plain one, if any. */
  readonly overruled?: VariantId | 'plain';
}

/** For each pass, which variant (or the plain measure) stands in each measure of the tune. */
export type PassChoice = ReadonlyMap<MeasureId, VariantId | 'plain'>;

/** The limits that a leader may set. Common practice: a jam of fifteen times through. */
export const MIN_PASSES = 2;
export const MAX_PASSES = 20;

function turnsOf(votes: MeasureVotes): readonly (VariantId | 'plain')[] {
  if (votes.overruled !== undefined) return [votes.overruled];
  const plain = { id: 'plain' as const, approvals: votes.plainApprovals, arrived: -1 };
  const approved = [plain, ...votes.variants].filter(({ approvals }) => approvals > 0);
  approved.sort(
    (a, b) =>
      b.approvals - a.approvals ||
      a.arrived - b.arrived ||
      (a.id < b.id ? -1 : a.id > b.id ? 1 : 0),
  );
  return approved.length > 0 ? approved.map(({ id }) => id) : ['plain'];
}

/**
 * The passes that the votes make: pass 1 is plain; in the following ones each measure takes its approved variants in turn, most approvals
 * first, ties to the earlier proposal and then to the smaller id (the plain measure counts as the earliest). The same for everyone.
 * @param passes how many, from MIN_PASSES to MAX_PASSES
 */
export function choosePasses(
  votes: readonly MeasureVotes[],
  passes: number,
): readonly PassChoice[] {
  if (!Number.isInteger(passes) || passes < MIN_PASSES || passes > MAX_PASSES)
    throw new RangeError(`${passes} passes: a plan has ${MIN_PASSES} to ${MAX_PASSES}`);
  const turns = votes.map((vote) => ({ measure: vote.measure, ids: turnsOf(vote) }));
  return Array.from({ length: passes }, (_, pass) => {
    const choice = new Map<MeasureId, VariantId | 'plain'>();
    for (const { measure, ids } of turns)
      choice.set(measure, pass === 0 ? 'plain' : (ids[(pass - 1) % ids.length] ?? 'plain'));
    return choice;
  });
}
