import fc from 'fast-check';
import { expect, test } from 'vitest';
import { MAX_PASSES } from '../../../../lib/passes/limits';
import { STRAIGHT } from '../../../../lib/sound/time';
import type { MeasureId, VariantId } from '../../../../lib/units';
import type { WavWish } from '../../../../shared/api/export-wav';
import { wavQuery, wavWishFrom } from '../../../../shared/api/export-wav';
import { COUNTS } from '../../../../shared/board/lesson';
import type { Choice, Stretch } from '../../../../shared/board/passages';
import { MAX_TEMPO, MIN_TEMPO } from '../../../../shared/board/values';

const name = fc.stringMatching(/^[A-Za-z0-9_.-]{1,20}$/);
const tempo = fc.integer({ min: MIN_TEMPO, max: MAX_TEMPO });
const choice: fc.Arbitrary<Choice> = fc.oneof(
  fc.constantFrom<Choice>({ kind: 'plain' }, { kind: 'plan' }),
  fc.integer({ min: 1, max: MAX_PASSES }).map((pass): Choice => ({ kind: 'pass', pass })),
  name.map((id): Choice => ({ kind: 'variant', variant: id as VariantId })),
);
const stretch: fc.Arbitrary<Stretch> = fc.oneof(
  fc.constant<Stretch>({ kind: 'whole' }),
  name.map((letter): Stretch => ({ kind: 'part', letter })),
  fc
    .tuple(name, name)
    .map(
      ([from, to]): Stretch => ({ kind: 'measures', from: from as MeasureId, to: to as MeasureId }),
    ),
);
const ladder = fc.record({
  stepUp: fc.constant(true),
  goal: tempo,
  step: fc.integer({ min: 1, max: 20 }),
  rounds: fc.integer({ min: 1, max: 20 }),
});
/** What a query says nothing about, since nothing gets faster. */
const level = fc.constant({ stepUp: false, goal: MAX_TEMPO, step: 4, rounds: 3 });
const wish: fc.Arbitrary<WavWish> = fc
  .tuple(
    fc.record({
      choice,
      stretch,
      afterPlain: fc.boolean(),
      changesOnly: fc.boolean(),
      alternate: fc.boolean(),
      melody: fc.boolean(),
      drone: fc.boolean(),
      leadIn: fc.constantFrom(...COUNTS),
      swing: fc.integer({ min: 100 * STRAIGHT, max: 75 }).map((swing) => swing / 100),
      click: fc.boolean(),
      accent: fc.boolean(),
      times: fc.integer({ min: 1, max: 20 }),
    }),
    fc.oneof(ladder, level),
    fc.option(tempo, { nil: undefined }),
  )
  .map(([played, faster, tempo]) => ({
    ...played,
    ...faster,
    ...(tempo === undefined ? {} : { tempo }),
  }));

test('a wish that was written as a query is read as the same wish', () => {
  fc.assert(
    fc.property(wish, (wish) => {
      const text = wavQuery(wish).toString();
      expect(wavWishFrom(new URLSearchParams(text))).toEqual({ wish });
    }),
    { seed: 1, numRuns: 500 },
  );
});
