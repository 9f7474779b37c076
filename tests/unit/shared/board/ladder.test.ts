import { describe, expect, test } from 'vitest';
import {
  isAlone,
  onceMore,
  roundsAStep,
  roundsToGoal,
  tempoOf,
} from '../../../../shared/board/ladder';

const ladder = { stepUp: true, step: 5, rounds: 2, goal: 62, alternate: false };
const start = { round: 0, tempo: 50 };
const tempos = (of: typeof ladder, rung = start, count = 8) =>
  Array.from({ length: count }, (_, round) => tempoOf(of, rung, round));

describe('the tempo', () => {
  test('goes up a step after so many rounds, to the goal and no further', () => {
    expect(tempos(ladder)).toEqual([50, 50, 55, 55, 60, 60, 62, 62]);
  });

  test('stays where it is without steps', () => {
    expect(tempos({ ...ladder, stepUp: false })).toEqual(Array(8).fill(50));
  });

  test('never goes down to a goal that is passed', () => {
    expect(tempos(ladder, { round: 0, tempo: 80 })).toEqual(Array(8).fill(80));
  });

  test('stays for a round and its echo where every second round is alone', () => {
    expect(tempos({ ...ladder, rounds: 1, alternate: true })).toEqual([
      50, 50, 55, 55, 60, 60, 62, 62,
    ]);
    expect(roundsAStep({ rounds: 3, alternate: true })).toBe(6);
  });
});

describe('the way to the goal', () => {
  test.each([
    // 50 50 55 55 60 60 62 62
    [ladder, 50, 8],
    [{ ...ladder, alternate: true }, 50, 16],
    [ladder, 62, 2],
    [ladder, 80, 2],
    [{ ...ladder, rounds: 1, step: 4 }, 50, 4],
  ])('%o from %i takes %i rounds', (of, tempo, rounds) => {
    expect(roundsToGoal(of, tempo)).toBe(rounds);
    const last = { round: 0, tempo };
    expect(tempoOf(of, last, rounds - 1)).toBe(Math.max(tempo, of.goal));
    const before = rounds - roundsAStep(of) - 1;
    if (before >= 0) expect(tempoOf(of, last, before)).toBeLessThan(of.goal);
  });
});

describe('a round that was not clean', () => {
  test('has its tempo count once more from the next round', () => {
    const rung = onceMore(ladder, start, 2);
    expect(rung).toEqual({ round: 3, tempo: 55 });
    expect(tempos(ladder, rung).slice(3)).toEqual([55, 55, 60, 60, 62]);
  });

  test('leaves the rounds of a pair together', () => {
    const pairs = { ...ladder, rounds: 1, alternate: true };
    expect(onceMore(pairs, start, 2)).toEqual({ round: 4, tempo: 55 });
    expect(onceMore(pairs, start, 3)).toEqual({ round: 4, tempo: 55 });
    expect(tempos(pairs, onceMore(pairs, start, 2)).slice(2)).toEqual([55, 55, 55, 55, 60, 60]);
  });
});

test('every second round is alone, the first one is heard', () => {
  const alone = (alternate: boolean) => [0, 1, 2, 3].map((round) => isAlone({ alternate }, round));
  expect(alone(true)).toEqual([false, true, false, true]);
  expect(alone(false)).toEqual([false, false, false, false]);
});
