import { describe, expect, test } from 'vitest';
import type { ElectionRule } from '../../../lib/passes/elect';
import { ELECTION_RULES, elect } from '../../../lib/passes/elect';
import { rational, rationalText } from '../../../lib/rational';
import { ballots } from '../../kit/ballots';

const elected = (text: string, seats: number, rule: ElectionRule, order = '') =>
  elect({ ballots: ballots(text), seats, rule, order: [...order] }).elected.join('');

describe('[P4] ties', () => {
  test.each<[ElectionRule, string, string]>([
    ['approvals', '', 'ab'],
    ['approvals', 'cba', 'cb'],
    ['approvals', 'c', 'ca'],
    ['phragmen', '', 'ab'],
    ['phragmen', 'cba', 'cb'],
    ['equal-shares', '', 'ab'],
    ['equal-shares', 'cba', 'cb'],
  ])('%s, proposed in the order "%s": %s', (rule, order, winners) =>
    expect(elected('a, b, c', 2, rule, order)).toBe(winners),
  );

  test('an exact tie stays a tie: after a and b both c and d would carry 7/10, which floating sums miss', () => {
    const profile = 'abd, abcd, ac, abd, abcd';
    expect(elected(profile, 3, 'phragmen', 'abcd')).toBe('abc');
    expect(elected(profile, 3, 'phragmen', 'abdc')).toBe('abd');
  });
});

test('[P1] most approvals gives every seat to the most approved where repeats are allowed', () =>
  expect(
    elect({ ballots: ballots('2 a, b'), seats: 3, rule: 'approvals', repeats: true }).elected,
  ).toEqual(['a', 'a', 'a']));

describe('[P7] credit', () => {
  const twice = (rule: ElectionRule) => {
    const first = elect({ ballots: ballots('2 a, b'), seats: 1, rule });
    const second = elect({ ballots: ballots('2 c, d'), seats: 1, rule, credit: first.credit });
    const third = elect({ ballots: ballots('2 e, f'), seats: 1, rule, credit: second.credit });
    return [first, second, third];
  };

  test.each<[ElectionRule, string]>([
    ['approvals', 'ace'],
    ['phragmen', 'acf'],
    ['equal-shares', 'acf'],
  ])('%s: two against one, three times (the second is an exact tie): %s', (rule, winners) =>
    expect(
      twice(rule)
        .flatMap((one) => one.elected)
        .join(''),
    ).toBe(winners),
  );

  test('who lost takes a third of a seat along, and who won owes a sixth each', () =>
    expect(twice('phragmen')[0]?.credit.map(rationalText)).toEqual(['-1/6', '-1/6', '1/3']));

  test('after each had a fair part nobody owes anything', () =>
    expect(twice('phragmen')[2]?.credit.map(rationalText)).toEqual(['0', '0', '0']));

  test.each<ElectionRule>(['phragmen', 'equal-shares'])(
    '%s: a supporter deep in debt does not make others pay it off',
    (rule) => {
      const credit = [rational(-5), rational(0), rational(0)];
      const { seats } = elect({ ballots: ballots('a, a, b'), seats: 1, rule, credit });
      const [{ ground } = { ground: undefined }] = seats;
      expect(ground?.kind === 'load' && rationalText(ground.load)).toBe(
        rule === 'phragmen' ? '1' : '2/3',
      );
    },
  );
});

test.each([
  ['less than none', -1],
  ['half a seat', 0.5],
  ['no number', Number.NaN],
])('%s is refused', (_, seats) =>
  expect(() => elect({ ballots: [], seats, rule: 'approvals' })).toThrow(RangeError),
);

test('credits must be one a ballot', () =>
  expect(() =>
    elect({ ballots: ballots('a, b'), seats: 1, rule: 'phragmen', credit: [rational(0)] }),
  ).toThrow('1 credits for 2 ballots'));

test.each(Object.entries(ELECTION_RULES))('%s is told in one sentence', (_, words) =>
  expect(words).toMatch(/^[A-Z][^.]*\.$/),
);
