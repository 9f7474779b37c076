import { describe, expect, test } from 'vitest';
import type { ElectionRule } from '../../../lib/passes/elect';
import { elect } from '../../../lib/passes/elect';
import { rationalText } from '../../../lib/rational';
import { ballots } from '../../kit/ballots';

/**
 * Source of the profiles: M. Lackner, P. Skowron, Multi-Winner Voting with Approval Preferences (Springer 2023, doi
 * 10.1007/978-3-031-09016-5), worked examples as run in the authors' reference implementation; where a rule's outcome is not printed
 * there it was computed with that implementation and again with exact fractions.
 */
const EXAMPLE_2_1 = '3 ab, 3 ac, 2 ad, bcf, e, f, g';
const EXAMPLE_2_5 = '3 ab, 6 ad, 4 b, 5 c, 5 cd';
const EXAMPLE_2_12 = '3 cd, 2 ab, 2 ac, bd';
const A3_PHRAGMEN = '10 ab, 3 c, 12 d, 21 abc, 6 cd';
const A3_SHARES = 'bd, ab, bde, ae, cde, ce, cde, ace, bcd';

const winners = (text: string, seats: number, rule: ElectionRule) =>
  [...elect({ ballots: ballots(text), seats, rule }).elected].sort().join('');

const grounds = (text: string, seats: number, rule: ElectionRule) =>
  elect({ ballots: ballots(text), seats, rule }).seats.map(({ id, ground }) => {
    if (ground.kind === 'approvals') return id;
    return `${id} ${ground.kind} ${rationalText(ground.kind === 'load' ? ground.load : ground.price)}`;
  });

describe('[P1] [P2] [P3] winners of published examples', () => {
  test.each<[string, string, number, ElectionRule, string | readonly string[]]>([
    ['Ex. 2.1', EXAMPLE_2_1, 4, 'approvals', ['abcd', 'abcf']],
    ['Ex. 2.1', EXAMPLE_2_1, 4, 'phragmen', 'abcd'],
    ['Ex. 2.1', EXAMPLE_2_1, 4, 'equal-shares', 'abcd'],
    ['Ex. 2.5', EXAMPLE_2_5, 2, 'approvals', 'cd'],
    ['Ex. 2.5', EXAMPLE_2_5, 2, 'phragmen', 'bd'],
    ['Ex. 2.5', EXAMPLE_2_5, 2, 'equal-shares', 'bd'],
    ['Ex. 2.12', EXAMPLE_2_12, 3, 'phragmen', 'bcd'],
    ['Ex. 2.12', EXAMPLE_2_12, 3, 'equal-shares', 'acd'],
    ['Ex. 2.14', 'a, 3 bcde', 1, 'approvals', ['b', 'c', 'd', 'e']],
    ['Prop. A.3', A3_PHRAGMEN, 3, 'phragmen', 'abd'],
    ['Prop. A.3, one more voter ab', `${A3_PHRAGMEN}, ab`, 3, 'phragmen', ['acd', 'bcd']],
    ['Prop. A.3', A3_SHARES, 3, 'equal-shares', 'ade'],
    ['Prop. A.3, one more voter a', `${A3_SHARES}, a`, 3, 'equal-shares', 'bce'],
    ['6 abc, 3 d: most approvals leave d out', '6 abc, 3 d', 3, 'approvals', 'abc'],
  ])('%s: %s, %i seats by %s', (_, text, seats, rule, outcome) =>
    expect([outcome].flat()).toContain(winners(text, seats, rule)),
  );

  test.each<ElectionRule>(['phragmen', 'equal-shares'])(
    '6 abc, 3 d: %s always contains d (a third of the voters, a third of the seats)',
    (rule) => expect(winners('6 abc, 3 d', 3, rule)).toContain('d'),
  );
});

describe('[P2] [P3] loads and prices of published examples', () => {
  test.each<[string, string, number, ElectionRule, readonly string[]]>([
    [
      'Ex. 2.1',
      EXAMPLE_2_1,
      4,
      'phragmen',
      ['a load 1/8', 'b load 11/32', 'c load 55/128', 'd load 5/8'],
    ],
    [
      'Ex. 2.1',
      EXAMPLE_2_1,
      4,
      'equal-shares',
      ['a price 1/8', 'b load 1/96', 'c load 37/384', 'd load 7/24'],
    ],
    ['Ex. 2.12', EXAMPLE_2_12, 3, 'phragmen', ['c load 1/5', 'b load 1/3', 'd load 29/60']],
    ['Ex. 2.12', EXAMPLE_2_12, 3, 'equal-shares', ['c price 1/5', 'a price 13/40', 'd load 1/40']],
  ])('%s: %s, %i seats by %s', (_, text, seats, rule, expected) =>
    expect(grounds(text, seats, rule)).toEqual(expected),
  );
});

describe('[P5] repeats share seats among one-candidate ballots as D’Hondt does', () => {
  // Harrenstein, Lackner, Lackner, Example 7 (for seq-Phragmen and MES); the smaller ones computed by D'Hondt's divisors.
  const five = '53 a, 24 b, 23 c';
  const cases: [string, number, string][] = [
    ['79 a, 7 b, 6 c, 3 d, 2 e, 1 f', 20, '18 1 1 0 0 0'],
    [five, 3, '2 1 0'],
    [five, 4, '2 1 1'],
    [five, 5, '3 1 1'],
    [five, 6, '4 1 1'],
    [five, 7, '4 2 1'],
  ];
  const both = cases.flatMap((one) =>
    (['phragmen', 'equal-shares'] as const).map((rule) => [...one, rule] as const),
  );
  test.each(both)('%s, %i seats: %s by %s', (text, seats, shares, rule) => {
    const { elected } = elect({ ballots: ballots(text), seats, rule, repeats: true });
    const ids = [...'abcdef'].slice(0, shares.split(' ').length);
    expect(ids.map((id) => elected.filter((one) => one === id).length).join(' ')).toBe(shares);
  });
});
