import type { Accounts, Level } from './accounts';
import { amountsAt, compareLevels, levelValue, withShares } from './accounts';
import { continuePhragmen } from './phragmen';
import type { Candidate, Count, Profile, Seat } from './profile';

/**
 * The least price q such that the supporters pay a whole seat when each gives q, or all there is where that is less; undefined if they
 * have less than a seat between them. Who owes pays nothing.
 */
function leastPrice(money: Accounts, supporters: readonly number[]): Level | undefined {
  const purses = amountsAt(money, supporters).filter((purse) => purse > 0n);
  let numerator = money.denominator;
  let payers = BigInt(purses.length);
  for (const purse of purses) {
    if (purse * payers >= numerator) return { numerator, payers };
    numerator -= purse;
    payers -= 1n;
  }
  return undefined;
}

function moneyAfter(money: Accounts, supporters: readonly number[], price: Level): Accounts {
  const amounts = money.amounts.map((purse) => purse * price.payers);
  for (const ballot of supporters) {
    const purse = amounts[ballot] ?? 0n;
    if (purse > 0n) amounts[ballot] = purse > price.numerator ? purse - price.numerator : 0n;
  }
  return { denominator: money.denominator * price.payers, amounts };
}

interface Affordable {
  readonly candidate: Candidate;
  readonly price: Level;
}

function cheapest(money: Accounts, standing: readonly Candidate[]): Affordable | undefined {
  let best: Affordable | undefined;
  for (const candidate of standing) {
    const price = leastPrice(money, candidate.supporters);
    if (price && (!best || compareLevels(price, best.price) < 0)) best = { candidate, price };
  }
  return best;
}

/**
 * Proportional shares by the Method of Equal Shares: every voter has seats / voters, a seat costs 1, and each seat goes to the candidate
 * whose supporters can pay it at the least price a head. When nobody can pay a seat any more, sequential Phragmen fills the others from
 * the money that is left.
 * Source: Lackner and Skowron 2023, rule Equal Shares (MES); checked in tests/reference/passes/elect.test.ts
 */
export function countEqualShares(
  profile: Profile,
  seats: number,
  repeats: boolean,
  credit: Accounts,
): Count {
  let money = withShares(credit, profile.voters, seats);
  let standing = profile.candidates;
  const elected: Seat[] = [];
  while (elected.length < seats) {
    const best = cheapest(money, standing);
    if (!best) break;
    const { candidate, price } = best;
    elected.push({
      id: candidate.id,
      supporters: candidate.supporters,
      ground: { kind: 'price', price: levelValue(money, price) },
    });
    money = moneyAfter(money, candidate.supporters, price);
    if (!repeats) standing = standing.filter((other) => other !== candidate);
  }
  const rest = continuePhragmen(standing, seats - elected.length, repeats, money);
  return {
    seats: [...elected, ...rest.seats],
    accounts: withShares(rest.accounts, profile.voters, -seats),
  };
}
