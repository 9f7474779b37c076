import type { Rational } from '../rational';
import { ZERO } from '../rational';
import type { Election, ElectionRule } from './elect';
import { elect } from './elect';

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
function inTurn(ballots: MeasureBallots, seats: number): Election {
  const round = elect({ ...ballots, seats, rule: 'approvals' });
  const turns =
    round.seats.length === 0
      ? []
      : Array.from({ length: seats }, (_, i) => round.seats[i % round.seats.length]).filter(
          (seat) => seat !== undefined,
        );
  return { ...round, seats: turns, elected: turns.map((seat) => seat.id) };
}

/**
 * One election a measure, in the order given, repeats allowed. With `carry`, what somebody has not got for their share in one measure counts
 * for them in the next (and what they got beyond it, against them), so that a minority that loses in measure 3 weighs more in measure 4.
 * It changes nothing for 'approvals', where nobody pays.
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
): readonly Election[] {
  let credit: readonly Rational[] | undefined;
  return measures.map(({ ballots, order }) => {
    if (rule === 'approvals') return inTurn({ ballots, order }, seats);
    const start = carry && credit ? credit : ballots.map(() => ZERO);
    const election = elect({ ballots, order, seats, rule, repeats: true, credit: start });
    credit = election.credit;
    return election;
  });
}
