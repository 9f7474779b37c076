import { describe, expect, test } from 'vitest';
import type { Model } from '../../../lib/passes/model';
import { modelOf } from '../../../lib/passes/model';
import { arrangements, EFFORT, orderings } from '../../../lib/passes/order';
import { leastRepeats } from '../../../lib/passes/repeats';
import type { ChoiceId, PlanMeasure } from '../../../lib/passes/request';
import type { MeasureId } from '../../../lib/units';

/** A board of seats: "aab ccd" is two measures of three passes, the first with two seats of a and one of b. */
function model(text: string): Model {
  const columns = text.split(' ').map((letters, m) => {
    const seats = [...letters].map((letter) => letter as ChoiceId);
    const choices = [...new Set(seats)].map((id) => ({
      id,
      families: [],
      busyness: 5,
      load: 0,
      risk: 0,
    }));
    const measure: PlanMeasure = { id: `m${m}` as MeasureId, choices, ballots: [] };
    return { measure, elected: [], seats, fixed: new Map<number, ChoiceId>() };
  });
  const request = {
    measures: columns.map(({ measure }) => measure),
    form: columns.map(({ measure }) => measure.id),
    passes: columns[0]?.seats.length ?? 0,
    plainFirst: false,
    rule: 'approvals',
    carry: false,
    locks: [],
    capacity: 0,
    joinCost: () => 0,
  } as const;
  return modelOf(request, columns, new Set());
}

/** The fewest repeats of all ways to lay the seats, by trying them all. */
function fewestByTrying(columns: readonly string[]): number {
  const ways = (letters: string): readonly string[] =>
    letters.length === 0
      ? ['']
      : [...new Set(letters)].flatMap((letter) =>
          ways(letters.replace(letter, '')).map((rest) => letter + rest),
        );
  let fewest = Number.POSITIVE_INFINITY;
  const lay = (m: number, passes: readonly string[]): void => {
    const column = columns[m];
    if (column === undefined) fewest = Math.min(fewest, passes.length - new Set(passes).size);
    else
      for (const way of ways(column))
        lay(
          m + 1,
          passes.map((pass, p) => pass + way[p]),
        );
  };
  lay(
    0,
    [...(columns[0] ?? '')].map(() => ''),
  );
  return fewest;
}

const boards = [
  'abc',
  'aab',
  'aaa',
  'aab aab',
  'aaab aaab',
  'aabb cddd',
  'aaaa aaab',
  'aabb aaaa aaab',
  'aaaaa aabbb',
];

describe('[P15] the size of a board', () => {
  test.each([
    ['aaa', 1],
    ['aab', 3],
    ['abc', 6],
    ['aabb aaab', 24],
    ['abcdef abcdef', 518_400],
  ])('%s can be laid in %i ways', (text, ways) => expect(arrangements(model(text))).toBe(ways));
});

describe('[P14] repeats', () => {
  test.each(boards)('%s: the least number is not above what trying everything finds', (text) =>
    expect(leastRepeats(model(text))).toBeLessThanOrEqual(fewestByTrying(text.split(' '))),
  );

  test.each(boards)('%s: the plan has as few as trying everything finds', (text) => {
    const steps = orderings(model(text), EFFORT);
    let step = steps.next();
    while (!step.done) step = steps.next();
    expect(step.value.repeats).toBe(fewestByTrying(text.split(' ')));
    expect(step.value.optimal).toBe(true);
  });
});
