import type { Rational } from '../rational';
import { rational } from '../rational';

/** One measure as `heardShares` needs it. */
export interface MeasureHearing {
  /** How many times one pass plays it (2 in a part that is repeated). */
  readonly visits: number;
  /** For each person what they approve in this measure; everybody stands in every measure, in the same place. */
  readonly ballots: readonly (readonly string[])[];
  /** What each pass plays in it, pass by pass. */
  readonly played: readonly string[];
}

/** How much of what somebody approves is heard. */
export interface HeardShare {
  /**
   * Of all the times that the plan plays a measure in which they approve something, how often it plays something that they approve, from 0
   * to 1, exact. Undefined for somebody who approves nothing anywhere.
   */
  readonly share: Rational | undefined;
  /** How many different things they approve, and how many of those are played at least once. */
  readonly approved: number;
  readonly played: number;
}

/** For each person, in the order of the ballots, how much of what they approved is heard in the whole plan, the plain passes included. */
export function heardShares(measures: readonly MeasureHearing[]): readonly HeardShare[] {
  const people = Math.max(0, ...measures.map(({ ballots }) => ballots.length));
  return Array.from({ length: people }, (_, person) => {
    let [times, heard, approved, played] = [0, 0, 0, 0];
    for (const measure of measures) {
      const wishes = new Set(measure.ballots[person]);
      if (wishes.size === 0) continue;
      times += measure.visits * measure.played.length;
      heard += measure.visits * measure.played.filter((id) => wishes.has(id)).length;
      approved += wishes.size;
      played += [...wishes].filter((id) => measure.played.includes(id)).length;
    }
    return { share: times > 0 ? rational(heard, times) : undefined, approved, played };
  });
}
