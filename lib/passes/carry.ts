import { noAccounts } from './accounts';
import type { ElectionRule } from './elect';
import { electFrom } from './elect';
import type { Seat } from './profile';

/** What one measure's election is about. */
export interface MeasureBallots {
  /** Who has a say: for each person what they approve in this measure. Everybody stands in every measure, in the same place. */
  readonly ballots: readonly (readonly string[])[];
  /** Candidates in order of proposal, the plain measure first. */
  readonly order: readonly string[];
}

/**
 * Most approvals first, and when each approved candidate has had a seat, round again. (Literal copies would give every seat to the most
 * approved one, and every pass would be the same.)
 */
function inTurn(ballots: MeasureBallots, seats: number): readonly Seat[] {
  const request = { ...ballots, seats, rule: 'approvals' } as const;
  const round = electFrom(request, noAccounts(ballots.ballots.length)).seats;
  return Array.from({ length: round.length > 0 ? seats : 0 }, (_, i) => i % round.length).flatMap(
    (turn) => round[turn] ?? [],
  );
}

/**
 * One election a measure, in the order given, repeats allowed. With `carry`, what somebody has not got for their share in one measure counts
 * for them in the next (and what they got beyond it, against them), so that a minority that loses in measure 3 weighs more in measure 4.
 * It changes nothing for 'approvals', where nobody pays.
 * @returns for each measure its seats in order of election
 *
 * Source: the idea that those who lost before should weigh more is M. Lackner, Perpetual Voting: Fairness in Long-Term Decision Making
 * (AAAI 2020), from memory; that loads or budgets are what is carried along is our own choice among the ways to do it, with no guarantee
 * claimed for single measures. Over the whole plan it is measured (heard.ts), not promised.
 */
export function electMeasures(
  measures: readonly MeasureBallots[],
  seats: number,
  rule: ElectionRule,
  carry: boolean,
): readonly (readonly Seat[])[] {
  let credit = noAccounts(measures[0]?.ballots.length ?? 0);
  return measures.map(({ ballots, order }) => {
    if (rule === 'approvals') return inTurn({ ballots, order }, seats);
    const start = carry ? credit : noAccounts(ballots.length);
    const count = electFrom({ ballots, order, seats, rule, repeats: true }, start);
    credit = count.accounts;
    return count.seats;
  });
}
