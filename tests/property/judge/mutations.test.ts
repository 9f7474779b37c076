import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { FAMILIES, familyById } from '../../../lib/embellish/all';
import { judge, problemsOf } from '../../../lib/judge';
import type { Measure } from '../../../lib/tab/measure';
import type { Neck } from '../../../lib/tuning';
import { playable } from '../embellish/measures';
import type { Spoilt } from './mutations';
import { MUTATIONS } from './mutations';

/** The fretting hand's families more often, since few strokes take them. */
const families = fc.constantFrom(
  ...FAMILIES,
  ...(['slide', 'slide', 'slide', 'pull-off', 'pull-off', 'hammer-on', 'triplet'] as const).map(
    familyById,
  ),
);

/** A legal variant: a random playable measure, embellished at the first stroke that takes the family. */
const legal = fc.tuple(playable, families, fc.nat()).map(([{ measure, neck }, family, which]) => {
  const [offers = []] = measure.strokes
    .map((_, stroke) => family.apply(measure, stroke, neck).offers)
    .filter(({ length }) => length > 0);
  const strokes = offers[which % Math.max(1, offers.length)]?.strokes ?? measure.strokes;
  return { measure: { ...measure, strokes }, neck };
});

/** Is it said of the right stroke, and nothing of the strokes before it, which are as they were? */
function expectNoticed(measure: Measure, neck: Neck, { strokes, code, stroke }: Spoilt): void {
  const spoilt = { ...measure, strokes };
  const problems = problemsOf(spoilt, neck);
  const found = problems.map((problem) => ({ code: problem.code, stroke: problem.where.stroke }));
  expect(found).toContainEqual({ code, stroke });
  expect(found.filter((each) => (each.stroke ?? -1) < (stroke ?? -1))).toEqual([]);
  const context = { neck, key: { tonic: 'G', mode: 'major' }, tempo: 100, plain: measure } as const;
  const refusals = judge(spoilt, context).judgements.filter(
    ({ id, verdict }) => (id === 'fits' || id === 'playable') && verdict === 'no',
  );
  const said = problems.find((problem) => problem.code === code)?.words ?? '';
  expect(refusals.map(({ words }) => words).join(' ')).toContain(said);
  if (stroke !== undefined) expect(refusals.flatMap((each) => each.strokes)).toContain(stroke);
}

describe('a legal variant that is spoilt is always noticed, by the right rule at the right stroke', () => {
  test.each(Object.entries(MUTATIONS))('%s', (_, mutation) => {
    let spoilt = 0;
    fc.assert(
      fc.property(legal, ({ measure, neck }) => {
        for (const index of measure.strokes.keys()) {
          const broken = mutation(measure, index, neck);
          if (!broken) continue;
          spoilt += 1;
          expectNoticed(measure, neck, broken);
        }
      }),
      { seed: 1, numRuns: 150 },
    );
    expect(spoilt).toBeGreaterThan(20);
  });

  test('and before it was spoilt there was nothing to notice', () => {
    fc.assert(
      fc.property(legal, ({ measure, neck }) => {
        expect(problemsOf(measure, neck)).toEqual([]);
      }),
      { seed: 1, numRuns: 300 },
    );
  });
});
