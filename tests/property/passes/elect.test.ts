import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { ElectionRule } from '../../../lib/passes/elect';
import { elect } from '../../../lib/passes/elect';
import { add, compare, ZERO } from '../../../lib/rational';
import {
  isExtendedJustified,
  isExtendedJustifiedPlus,
  isProportionalJustified,
} from '../../kit/representation';

const RUNS = { seed: 1, numRuns: 400 };
const RULES: readonly ElectionRule[] = ['approvals', 'phragmen', 'equal-shares'];
const IDS = [...'abcde'];
const ballot = fc.subarray(IDS, { minLength: 1 });
const profile = fc.array(ballot, { minLength: 1, maxLength: 9 });
const seatCount = fc.integer({ min: 1, max: 5 });

/** Every profile of so many voters over a, b, c, each once (voters are alike, so as multisets), empty ballots left out. */
function everyProfile(voters: number, from = 1): readonly (readonly (readonly string[])[])[] {
  if (voters === 0) return [[]];
  const first = Array.from({ length: 8 - from }, (_, i) => from + i);
  return first.flatMap((set) => {
    const ids = ['a', 'b', 'c'].filter((_, bit) => set & (1 << bit));
    return everyProfile(voters - 1, set).map((rest) => [ids, ...rest]);
  });
}

describe('representation that the rules guarantee', () => {
  test('[P2] [P3] on every profile of up to six voters over three candidates', () => {
    let seen = 0;
    for (const voters of [1, 2, 3, 4, 5, 6])
      for (const ballots of everyProfile(voters))
        for (const seats of [1, 2, 3]) {
          const shares = elect({ ballots, seats, rule: 'equal-shares' }).elected;
          const loads = elect({ ballots, seats, rule: 'phragmen' }).elected;
          if (!isExtendedJustified(ballots, shares, seats)) throw new Error(`${ballots.join(' ')}`);
          if (!isProportionalJustified(ballots, loads, seats))
            throw new Error(`${ballots.join(' ')}`);
          seen += 1;
        }
    expect(seen).toBe(3 * (7 + 28 + 84 + 210 + 462 + 924));
  });

  test('[P3] equal shares: extended justified representation, also with a plus', () =>
    fc.assert(
      fc.property(profile, seatCount, (ballots, seats) => {
        const { elected } = elect({ ballots, seats, rule: 'equal-shares' });
        expect(isExtendedJustified(ballots, elected, seats)).toBe(true);
        expect(isExtendedJustifiedPlus(ballots, elected, seats)).toBe(true);
      }),
      RUNS,
    ));

  test('[P2] sequential Phragmen: proportional justified representation', () =>
    fc.assert(
      fc.property(profile, seatCount, (ballots, seats) => {
        const { elected } = elect({ ballots, seats, rule: 'phragmen' });
        expect(isProportionalJustified(ballots, elected, seats)).toBe(true);
      }),
      RUNS,
    ));
});

describe.each(RULES)('%s', (rule) => {
  test('[P5] repeats are copies: as many of each candidate as there are seats', () =>
    fc.assert(
      fc.property(profile, seatCount, (ballots, seats) => {
        const copies = (id: string) => Array.from({ length: seats }, (_, i) => `${id}${i}`);
        const { elected } = elect({
          ballots: ballots.map((ids) => ids.flatMap(copies)),
          seats,
          rule,
          order: IDS.flatMap(copies),
        });
        const repeated = elect({ ballots, seats, rule, repeats: true, order: IDS });
        expect(repeated.elected).toEqual(elected.map((id) => id.slice(0, 1)));
      }),
      RUNS,
    ));

  test('[P4] the order of people, and of ids on a ballot, changes nothing', () =>
    fc.assert(
      fc.property(profile, seatCount, fc.infiniteStream(fc.nat()), (ballots, seats, keys) => {
        const mixed = ballots
          .map((ids) => ({ ids: [...ids].reverse(), key: keys.next().value ?? 0 }))
          .sort((a, b) => a.key - b.key)
          .map(({ ids }) => ids);
        expect(elect({ ballots: mixed, seats, rule }).elected).toEqual(
          elect({ ballots, seats, rule }).elected,
        );
      }),
      RUNS,
    ));

  test('[P6] who approves nothing is not counted and keeps their credit', () =>
    fc.assert(
      fc.property(profile, seatCount, (ballots, seats) => {
        const more = elect({ ballots: [[], ...ballots, []], seats, rule });
        const { seats: given, credit } = elect({ ballots, seats, rule });
        expect(more.elected).toEqual(given.map(({ id }) => id));
        expect(more.credit).toEqual([ZERO, ...credit, ZERO]);
      }),
      RUNS,
    ));

  test('[P4] only what is approved is elected, at most once without repeats, and as much as there is', () =>
    fc.assert(
      fc.property(profile, fc.integer({ min: 0, max: 8 }), (ballots, seats) => {
        const approved = new Set(ballots.flat());
        const { elected } = elect({ ballots, seats, rule });
        expect(elected.length).toBe(Math.min(seats, approved.size));
        expect(new Set(elected).size).toBe(elected.length);
        expect(elected.every((id) => approved.has(id))).toBe(true);
        expect(elect({ ballots, seats, rule, repeats: true }).elected.length).toBe(seats);
      }),
      RUNS,
    ));

  test('[P7] credit is only handed round: what all take along is what all brought', () =>
    fc.assert(
      fc.property(profile, profile, seatCount, (first, second, seats) => {
        const people = Math.max(first.length, second.length);
        const filled = (ballots: readonly string[][]) =>
          Array.from({ length: people }, (_, i) => ballots[i] ?? []);
        const before = elect({ ballots: filled(first), seats, rule, repeats: true });
        const after = elect({
          ballots: filled(second),
          seats,
          rule,
          repeats: true,
          credit: before.credit,
        });
        expect(compare(after.credit.reduce(add, ZERO), ZERO)).toBe(0);
      }),
      RUNS,
    ));
});
