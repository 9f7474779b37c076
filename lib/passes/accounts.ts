import type { Rational } from '../rational';
import { greatestDivisor, rational } from '../rational';

/**
 * What each ballot has, in seats, over one common denominator (above 0). Counting a seat then multiplies whole numbers and needs no
 * fractions of its own, which keeps long chains of elections fast.
 */
export interface Accounts {
  readonly denominator: bigint;
  readonly amounts: readonly bigint[];
}

/** The same amounts over the least common denominator. Cost: one Euclid a number. */
export function accountsFrom(values: readonly Rational[]): Accounts {
  const denominator = values.reduce(
    (common, value) => (common / greatestDivisor(common, value.denominator)) * value.denominator,
    1n,
  );
  return {
    denominator,
    amounts: values.map((value) => value.numerator * (denominator / value.denominator)),
  };
}

/** Each amount as a fraction in lowest terms. */
export function amountsOf({ denominator, amounts }: Accounts): readonly Rational[] {
  return amounts.map((amount) => rational(amount, denominator));
}

export function noAccounts(ballots: number): Accounts {
  return { denominator: 1n, amounts: Array.from({ length: ballots }, () => 0n) };
}

/** The accounts with `seats / voters` more for each of the voters, or less where `seats` is below 0. */
export function withShares(accounts: Accounts, voters: readonly number[], seats: number): Accounts {
  const parts = BigInt(Math.max(1, voters.length));
  const amounts = accounts.amounts.map((amount) => amount * parts);
  const share = BigInt(seats) * accounts.denominator;
  for (const ballot of voters) amounts[ballot] = (amounts[ballot] ?? 0n) + share;
  return { denominator: accounts.denominator * parts, amounts };
}

/**
 * The same amounts over a smaller denominator. Where all came about by sharing among at most as many payers as there are accounts, over
 * the smallest: then the denominator has no prime factor above that. Much cheaper than Euclid when numbers have thousands of digits.
 */
export function reduced({ denominator, amounts }: Accounts): Accounts {
  let common = denominator;
  let rest = [...amounts];
  for (let factor = 2n; factor <= BigInt(amounts.length); factor += 1n)
    while (common % factor === 0n && rest.every((amount) => amount % factor === 0n)) {
      const by = factor;
      common /= by;
      rest = rest.map((amount) => amount / by);
    }
  return { denominator: common, amounts: rest };
}

/** A fraction that need not be in lowest terms; the denominator is above 0. */
export interface Fraction {
  readonly numerator: bigint;
  readonly denominator: bigint;
}

/** A level at which some of the ballots pay a whole seat between them: `numerator / (denominator of the accounts * payers)`. */
export interface Level {
  readonly numerator: bigint;
  readonly payers: bigint;
}

/** Below 0 if level a is less than b. Both must come from the same accounts. */
export function compareLevels(a: Level, b: Level): number {
  const difference = a.numerator * b.payers - b.numerator * a.payers;
  return difference < 0n ? -1 : difference > 0n ? 1 : 0;
}

/** The level as a fraction, not in lowest terms. */
export function levelValue(accounts: Accounts, level: Level): Fraction {
  return { numerator: level.numerator, denominator: accounts.denominator * level.payers };
}

/** What some ballots have, the least first. */
export function amountsAt(accounts: Accounts, ballots: readonly number[]): bigint[] {
  return ballots
    .map((ballot) => accounts.amounts[ballot] ?? 0n)
    .sort((a, b) => (a < b ? -1 : a > b ? 1 : 0));
}
