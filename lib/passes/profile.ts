import type { Accounts, Fraction } from './accounts';

/** Somebody or something to elect, with the ballots (by their place in the list) that approve it, ascending. */
export interface Candidate {
  readonly id: string;
  readonly supporters: readonly number[];
}

/** The ballots of one election, made ready to count. */
export interface Profile {
  /** Approved by somebody, in the order in which ties are broken. */
  readonly candidates: readonly Candidate[];
  /** The ballots that count: those that approve anything. */
  readonly voters: readonly number[];
  /** All ballots, counted or not. */
  readonly ballots: number;
}

/** What a rule compared when it gave a seat. */
export type Ground<Amount extends Fraction = Fraction> =
  /** Most approvals. */
  | { readonly kind: 'approvals' }
  /** Least load: each supporter who pays then carries this much, in seats. */
  | { readonly kind: 'load'; readonly load: Amount }
  /** Least price: no supporter pays more than this, in seats. */
  | { readonly kind: 'price'; readonly price: Amount };

/** One seat: who got it, who approves it, and on what ground. */
export interface Seat<Amount extends Fraction = Fraction> {
  readonly id: string;
  readonly supporters: readonly number[];
  readonly ground: Ground<Amount>;
}

/** What a rule answers: seats in order of election, and each ballot's account, in seats: its credit less what it paid. */
export interface Count {
  readonly seats: readonly Seat[];
  readonly accounts: Accounts;
}

/** How a rule gives seats away. `credit` is what each ballot brings along. */
export type Rule = (profile: Profile, seats: number, repeats: boolean, credit: Accounts) => Count;

function byId(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

/**
 * The ballots made ready to count. An id that stands twice on a ballot counts once.
 * @param order ids in order of proposal: ties go to the earlier one, an id that is not named comes after all that are, and
 * between two of those the smaller id (by its characters' codes) comes first
 */
export function profileOf(
  ballots: readonly (readonly string[])[],
  order: readonly string[],
): Profile {
  const supporters = new Map<string, number[]>();
  for (const [ballot, ids] of ballots.entries())
    for (const id of new Set(ids)) {
      const known = supporters.get(id);
      if (known) known.push(ballot);
      else supporters.set(id, [ballot]);
    }
  const places = new Map<string, number>();
  for (const [place, id] of order.entries()) if (!places.has(id)) places.set(id, place);
  const placeOf = (id: string) => places.get(id) ?? order.length;
  const candidates = [...supporters]
    .map(([id, by]) => ({ id, supporters: by }))
    .sort((a, b) => placeOf(a.id) - placeOf(b.id) || byId(a.id, b.id));
  const voters = [...ballots.keys()].filter((ballot) => (ballots[ballot]?.length ?? 0) > 0);
  return { candidates, voters, ballots: ballots.length };
}
