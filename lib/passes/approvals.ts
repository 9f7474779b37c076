import type { Accounts } from './accounts';
import type { Candidate, Count, Profile, Seat } from './profile';

/**
 * Most approvals first (AV). With repeats each candidate stands in as many copies as there are seats, so the most approved takes all.
 * Accounts are left as they are: this rule asks nobody to pay.
 * Source: Lackner and Skowron 2023, rule AV; checked in tests/reference/passes/elect.test.ts
 */
export function countApprovals(
  profile: Profile,
  seats: number,
  repeats: boolean,
  credit: Accounts,
): Count {
  const ranked = [...profile.candidates].sort((a, b) => b.supporters.length - a.supporters.length);
  const [first] = ranked;
  const winners =
    repeats && first ? Array.from({ length: seats }, () => first) : ranked.slice(0, seats);
  return { seats: winners.map(seatOf), accounts: credit };
}

function seatOf({ id, supporters }: Candidate): Seat {
  return { id, supporters, ground: { kind: 'approvals' } };
}
