import { expect, test } from 'vitest';
import { ballots } from '../../kit/ballots';
import {
  isExtendedJustified,
  isExtendedJustifiedPlus,
  isJustified,
  isProportionalJustified,
} from '../../kit/representation';

/**
 * The judges of the property tests, judged by published verdicts. Sources: Aziz et al. 2016, Examples 4 and 6; Brill, Peters 2023,
 * Example 3; the others by Lackner and Skowron's reference implementation.
 */
test.each([
  ['Aziz Ex. 4', 'a, b, c, d, aef, bef, cef, def', 'abcd', 'EJR', isExtendedJustified, false],
  ['Aziz Ex. 4', 'a, b, c, d, aef, bef, cef, def', 'abcd', 'PJR', isProportionalJustified, true],
  ['Aziz Ex. 6', '3 ak, 3 al, 14 bcdefghij', 'abcdefghij', 'EJR', isExtendedJustified, true],
  ['Brill Ex. 3', 'a, ab, abcd, 3 cde, ef, fg', 'abcg', 'EJR', isExtendedJustified, true],
  ['Brill Ex. 3', 'a, ab, abcd, 3 cde, ef, fg', 'abcg', 'EJR+', isExtendedJustifiedPlus, false],
  ['two against one', '2 abc, d', 'abc', 'JR', isJustified, false],
  ['six against three', '6 abc, 3 d', 'abc', 'JR', isJustified, false],
] as const)('%s (%s): %s and %s', (_, text, winners, __, holds, verdict) =>
  expect(holds(ballots(text), [...winners], winners.length)).toBe(verdict),
);
