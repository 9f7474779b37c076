import { describe, expect, test } from 'vitest';
import { heardShares } from '../../../lib/passes/heard';
import { rationalText } from '../../../lib/rational';
import { ballots } from '../../kit/ballots';

const measure = (votes: string, played: string, visits = 1) => ({
  visits,
  ballots: ballots(votes),
  played: [...played],
});
const told = (measures: readonly ReturnType<typeof measure>[]) =>
  heardShares(measures).map(({ share, approved, played }) =>
    share ? `${rationalText(share)}, ${played} of ${approved}` : 'no votes',
  );

describe('[P10] how much of what somebody approved is heard', () => {
  test.each([
    ['always', [measure('a', 'aaa')], ['1, 1 of 1']],
    ['one pass in three', [measure('a', 'abb')], ['1/3, 1 of 1']],
    ['never', [measure('a', 'bbb')], ['0, 0 of 1']],
    ['any of several counts', [measure('abc', 'acd')], ['2/3, 2 of 3']],
    [
      'measures without a wish do not count',
      [measure('a, 1', 'ab'), measure('1, c', 'cc')],
      ['1/2, 1 of 1', '1, 1 of 1'],
    ],
    ['a repeated part weighs more', [measure('a', 'aa', 2), measure('a', 'bb')], ['2/3, 1 of 2']],
    ['who approves nothing has no share', [measure('a, 1', 'a')], ['1, 1 of 1', 'no votes']],
    ['no measures, nobody', [], []],
  ])('%s', (_, measures, shares) => expect(told(measures)).toEqual(shares));
});
