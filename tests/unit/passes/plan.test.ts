import { describe, expect, test } from 'vitest';
import type { MeasureVotes } from '../../../lib/passes/plan';
import { choosePasses } from '../../../lib/passes/plan';
import type { MeasureId, VariantId } from '../../../lib/units';

const M1 = 'm1' as MeasureId;

/** Votes for one measure: "a3 b2" is variant a with three approvals and then b with two, in order of arrival. */
function votes(text: string, plainApprovals = 0, overruled?: string): MeasureVotes {
  const variants = text
    .split(' ')
    .filter((one) => one !== '')
    .map((one, arrived) => ({
      id: one.slice(0, 1) as VariantId,
      approvals: Number(one.slice(1)),
      arrived,
    }));
  return {
    measure: M1,
    variants,
    plainApprovals,
    ...(overruled === undefined ? {} : { overruled: overruled as VariantId }),
  };
}

function turns(vote: MeasureVotes, passes: number): string {
  return choosePasses([vote], passes)
    .map((pass) => pass.get(M1))
    .join(' ');
}

describe('the passes that votes make', () => {
  test.each([
    ['the first pass is plain whatever the votes', votes('a9'), 2, 'plain a'],
    [
      'the most approved come first, then the next, and round again',
      votes('a1 b3 c2'),
      6,
      'plain b c a b c',
    ],
    ['a tie goes to the earlier proposal', votes('a2 b2'), 3, 'plain a b'],
    ['what nobody approves is not played', votes('a0 b1'), 4, 'plain b b b'],
    ['no votes leave the measure plain', votes('a0'), 3, 'plain plain plain'],
    [
      'the plain measure takes its turn when it is approved',
      votes('a2 b1', 1),
      4,
      'plain a plain b',
    ],
    ['the plain measure counts as the earliest in a tie', votes('a1', 1), 3, 'plain plain a'],
    ['the leader overrules every pass but the plain one', votes('a5 b0', 2, 'b'), 3, 'plain b b'],
    ['the leader may overrule to plain', votes('a5', 0, 'plain'), 3, 'plain plain plain'],
  ])('%s', (_, vote, passes, order) => expect(turns(vote, passes)).toBe(order));

  test('a smaller id wins where even the arrival is the same', () => {
    const same = votes('b1 a1');
    const variants = same.variants.map((one) => ({ ...one, arrived: 0 }));
    expect(turns({ ...same, variants }, 3)).toBe('plain a b');
  });

  test.each([1, 21, 2.5, Number.NaN])('%s passes are not a plan', (passes) =>
    expect(() => choosePasses([votes('a1')], passes)).toThrow(RangeError),
  );
});
