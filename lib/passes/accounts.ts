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
  const common = amounts.reduce((divisor, amount) => greatestDivisor(divisor, amount), denominator);
  return amounts.map((amount) => rational(amount / common, denominator / common));
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

/** The level as a fraction. */
export function levelValue(accounts: Accounts, level: Level): Rational {
  return rational(level.numerator, accounts.denominator * level.payers);
}

export function amountsAt(accounts: Accounts, ballots: readonly number[]): bigint[] {
  return ballots
    .map((ballot) => accounts.amounts[ballot] ?? 0n)
    .sort((a, b) => (a < b ? -1 : a > b ? 1 : 0));
}
