import type { Accounts, Level } from './accounts';
import { amountsAt, compareLevels, levelValue } from './accounts';
import type { Candidate, Count, Profile, Seat } from './profile';

/**
 * The least load at which the supporters who carry less than it make up a whole seat between them. Where nobody carries more, that is
 * (1 + the supporters' loads) / (number of supporters).
 */
function leastLoad(loads: Accounts, supporters: readonly number[]): Level {
  const sorted = amountsAt(loads, supporters);
  let numerator = loads.denominator;
  let payers = 0n;
  for (const load of sorted) {
    if (payers > 0n && load * payers >= numerator) break;
    numerator += load;
    payers += 1n;
  }
  return { numerator, payers };
}

/** Loads after a seat: each supporter who carried less than the level now carries the level. */
function loadsAfter(loads: Accounts, supporters: readonly number[], level: Level): Accounts {
  const amounts = loads.amounts.map((load) => load * level.payers);
  for (const ballot of supporters)
    if ((amounts[ballot] ?? 0n) < level.numerator) amounts[ballot] = level.numerator;
  return { denominator: loads.denominator * level.payers, amounts };
}

function negated({ denominator, amounts }: Accounts): Accounts {
  return { denominator, amounts: amounts.map((amount) => -amount) };
}

interface Cheapest {
  readonly candidate: Candidate;
  readonly level: Level;
}

function leastLoaded(loads: Accounts, standing: readonly Candidate[]): Cheapest | undefined {
  let best: Cheapest | undefined;
  for (const candidate of standing) {
    const level = leastLoad(loads, candidate.supporters);
    if (!best || compareLevels(level, best.level) < 0) best = { candidate, level };
  }
  return best;
}

/**
 * Seats by sequential Phragmen from given accounts: a load is an account below 0. Each seat goes to the candidate that leaves its
 * supporters with the least load; supporters whose load is greater than that already do not pay.
 * @param standing candidates that may be elected, in the order in which ties are broken
 * @returns at most `seats` seats; fewer only where candidates run out
 */
export function continuePhragmen(
  standing: readonly Candidate[],
  seats: number,
  repeats: boolean,
  accounts: Accounts,
): Count {
  let loads = negated(accounts);
  let left = standing;
  const elected: Seat[] = [];
  while (elected.length < seats) {
    const best = leastLoaded(loads, left);
    if (!best) break;
    const { candidate, level } = best;
    const load = levelValue(loads, level);
    elected.push({
      id: candidate.id,
      supporters: candidate.supporters,
      ground: { kind: 'load', load },
    });
    loads = loadsAfter(loads, candidate.supporters, level);
    if (!repeats) left = left.filter((other) => other !== candidate);
  }
  return { seats: elected, accounts: negated(loads) };
}

/**
 * Proportional shares by sequential Phragmen: every seat is a load of 1 that its supporters share.
 * Source: Lackner and Skowron 2023, rule seq-Phragmen; checked in tests/reference/passes/elect.test.ts. That a supporter who carries
 * more already does not pay (which happens only with credit carried in) is its reading in continuous time, in which everybody earns at one
 * speed and those in debt pay that off first: from memory.
 */
export function countPhragmen(
  profile: Profile,
  seats: number,
  repeats: boolean,
  credit: Accounts,
): Count {
  return continuePhragmen(profile.candidates, seats, repeats, credit);
}
