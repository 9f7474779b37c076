import { describe, expect, test } from 'vitest';
import { electMeasures } from '../../../lib/passes/carry';
import type { ElectionRule } from '../../../lib/passes/elect';
import { ballots } from '../../kit/ballots';

const measure = (text: string) => ({ ballots: ballots(text), order: [] });
const elected = (texts: readonly string[], seats: number, rule: ElectionRule, carry: boolean) =>
  electMeasures(texts.map(measure), seats, rule, carry)
    .map((seats) => seats.map(({ id }) => id).join(''))
    .join(' ');

describe('[P7] from measure to measure', () => {
  // As D'Hondt's divisors order 3 : 2, with 1 = 1 decided for the smaller id: 3, 2, 3/2, 3/3, 2/2.
  const five = ['3 a, 2 b', '3 a, 2 b', '3 a, 2 b', '3 a, 2 b', '3 a, 2 b'];

  test.each<[ElectionRule, boolean, string]>([
    ['phragmen', false, 'a a a a a'],
    ['phragmen', true, 'a b a a b'],
    ['equal-shares', false, 'a a a a a'],
    ['equal-shares', true, 'a b a a b'],
    ['approvals', true, 'a a a a a'],
  ])('three against two, one seat a measure, %s, carried %s: %s', (rule, carry, winners) =>
    expect(elected(five, 1, rule, carry)).toBe(winners),
  );

  test('somebody who lost in one measure weighs more in the next one in which they vote', () =>
    expect(elected(['2 a, b', '2 c, 1', '2 e, d'], 1, 'phragmen', true)).toBe('a c d'));

  test('who stays away saves nothing up', () => {
    const away = ['3 a, 2', '3 a, 2', '3 a, 2', '3 a, 2 b'];
    expect(elected(away, 1, 'phragmen', true)).toBe('a a a a');
  });

  test('a measure in which nobody approves anything elects nothing and passes credit on', () =>
    expect(elected(['2 a, b', '3', '2 c, 1 d', '2 e, 1 f'], 1, 'equal-shares', true)).toBe(
      'a  c f',
    ));
});

describe('[P8] most approvals first goes round again', () => {
  test.each([
    ['3 a, 2 b', 5, 'ababa'],
    ['a', 3, 'aaa'],
    ['2 ab, b', 1, 'b'],
    ['2', 4, ''],
  ])('%s, %i seats: %s', (text, seats, winners) =>
    expect(elected([text], seats, 'approvals', false)).toBe(winners),
  );
});
