import type { Rational } from '../rational';
import { rational } from '../rational';
import { assertNever } from '../units';
import type { Accounts, Fraction } from './accounts';
import { accountsFrom, amountsOf, noAccounts, reduced, withShares } from './accounts';
import { countApprovals } from './approvals';
import { countEqualShares } from './equal-shares';
import { countPhragmen } from './phragmen';
import type { Count, Ground, Rule, Seat } from './profile';
import { profileOf } from './profile';

export type ElectionRule = 'approvals' | 'phragmen' | 'equal-shares';

/** The rules in the order in which a leader is offered them, each with what it does in one sentence. */
export const ELECTION_RULES: Readonly<Record<ElectionRule, string>> = {
  approvals: 'The variants that most people approve are played, the most approved first.',
  phragmen:
    'Every variant played is a load that its supporters share, and the next one is always the one whose supporters carry least.',
  'equal-shares':
    'Everybody has an equal share to spend, and a variant is played when its supporters can pay for it together.',
};

export interface ElectionRequest {
  /** For each person the ids that they approve. Who approves nothing is not counted. */
  readonly ballots: readonly (readonly string[])[];
  /** How many to elect, whole, from 0. */
  readonly seats: number;
  readonly rule: ElectionRule;
  /** May a candidate be elected more than once? As if each stood in as many copies as there are seats. Not unless said. */
  readonly repeats?: boolean;
  /** Candidates in order of proposal, for ties; others come after these, the smaller id first. */
  readonly order?: readonly string[];
  /** What each ballot brings along from elections before, in seats: less than its share was above 0. Nothing unless given. */
  readonly credit?: readonly Rational[];
}

export interface Election {
  /** Elected ids in order of election. Fewer than `seats` only where nothing else is approved. */
  readonly elected: readonly string[];
  /** The same, with what explains each. */
  readonly seats: readonly Seat<Rational>[];
  /** What each ballot takes along: its credit before, and its equal part of the seats given, less what it paid for them. */
  readonly credit: readonly Rational[];
}

function creditOf({ ballots, credit }: ElectionRequest): Accounts {
  if (!credit) return noAccounts(ballots.length);
  if (credit.length !== ballots.length)
    throw new RangeError(`${credit.length} credits for ${ballots.length} ballots`);
  return accountsFrom(credit);
}

function ruleOf(rule: ElectionRule): Rule {
  switch (rule) {
    case 'approvals':
      return countApprovals;
    case 'phragmen':
      return countPhragmen;
    case 'equal-shares':
      return countEqualShares;
    default:
      return assertNever(rule);
  }
}

/**
 * `elect` with accounts as they are inside, for long chains of elections. Each voter's account ends with the equal part of the seats that were given;
 * where nobody pays, nobody is given anything.
 * @throws RangeError if `seats` is not a whole number from 0
 */
export function electFrom(request: Omit<ElectionRequest, 'credit'>, credit: Accounts): Count {
  const { ballots, seats, rule, repeats = false, order = [] } = request;
  if (!Number.isInteger(seats) || seats < 0)
    throw new RangeError(`${seats} seats: a whole number from 0`);
  const profile = profileOf(ballots, order);
  const count = ruleOf(rule)(profile, seats, repeats, credit);
  if (rule === 'approvals') return count;
  const accounts = withShares(count.accounts, profile.voters, count.seats.length);
  return { seats: count.seats, accounts: reduced(accounts) };
}

function lowest({ numerator, denominator }: Fraction): Rational {
  return rational(numerator, denominator);
}

function groundOf(ground: Ground): Ground<Rational> {
  switch (ground.kind) {
    case 'approvals':
      return ground;
    case 'load':
      return { kind: 'load', load: lowest(ground.load) };
    case 'price':
      return { kind: 'price', price: lowest(ground.price) };
    default:
      return assertNever(ground);
  }
}

/**
 * Who is elected, in order of election, with what explains it. Exact, and the same on every machine: ties go to the earlier in
 * `order`, then to the smaller id.
 * @throws RangeError if `seats` is not a whole number from 0, or if there is not one credit a ballot
 */
export function elect(request: ElectionRequest): Election {
  const { seats, accounts } = electFrom(request, creditOf(request));
  return {
    elected: seats.map((seat) => seat.id),
    seats: seats.map((seat) => ({ ...seat, ground: groundOf(seat.ground) })),
    credit: amountsOf(accounts),
  };
}
