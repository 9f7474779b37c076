import fc from 'fast-check';
import { expect, test } from 'vitest';
import { FAMILIES } from '../../lib/embellish/all';
import { frettingPath } from '../../lib/hands/fretting';
import type { Level } from '../../lib/hands/level';
import type { Key } from '../../lib/harmony';
import { MODES } from '../../lib/harmony';
import { ideas } from '../../lib/ideas/ideas';
import { soundKey } from '../../lib/ideas/sound';
import { judge, problemsOf } from '../../lib/judge';
import { anyMeasure } from '../kit/measures';
import { necks, playable } from './embellish/measures';

const keys = fc.record<Key>({
  tonic: fc.constantFrom('G', 'D', 'A', 'C', 'F#'),
  mode: fc.constantFrom(...MODES),
});
const options = fc.record({
  level: fc.constantFrom<Level>(1, 2, 3, 4, 5),
  busyness: fc.constantFrom(0, 0.3, 0.6, 1),
});

test('every idea fits, can be played at the tempo, is still the tune, and is like no other', () => {
  let count = 0;
  fc.assert(
    fc.property(playable, keys, options, ({ measure, neck }, key, wanted) => {
      const context = { neck, key, tempo: 80 };
      const found = ideas(measure, context, wanted);
      count += found.length;
      const sounds = [measure.strokes, ...found.map(({ strokes }) => strokes)].map(soundKey);
      expect(new Set(sounds).size).toBe(sounds.length);
      for (const { strokes } of found) {
        const varied = { ...measure, strokes };
        expect(problemsOf(varied, neck)).toEqual([]);
        expect(frettingPath([varied], neck, 80).ok).toBe(true);
        const verdicts = judge(varied, { ...context, plain: measure }).judgements;
        expect(verdicts.slice(0, 4).some(({ verdict }) => verdict === 'no')).toBe(false);
      }
    }),
    { seed: 1, numRuns: 250 },
  );
  expect(count).toBeGreaterThan(500);
});

test('the same question has the same answer', () => {
  fc.assert(
    fc.property(playable, keys, options, ({ measure, neck }, key, wanted) => {
      const once = ideas(measure, { neck, key, tempo: 110 }, wanted);
      expect(ideas(measure, { neck, key, tempo: 110 }, wanted)).toEqual(once);
    }),
    { seed: 1, numRuns: 60 },
  );
});

test('whatever somebody is in the middle of writing is judged and embellished without an exception', () => {
  fc.assert(
    fc.property(anyMeasure, anyMeasure, necks, keys, (measure, other, neck, key) => {
      const plain = { ...other, meter: measure.meter };
      const context = { neck, key, tempo: 100, plain, before: plain, after: measure };
      expect(judge(measure, context).judgements).toHaveLength(5);
      for (const family of FAMILIES)
        for (const index of measure.strokes.keys()) {
          const { offers, refusals } = family.apply(measure, index, neck);
          expect(offers.length > 0).toBe(refusals.length === 0);
        }
    }),
    { seed: 1, numRuns: 400 },
  );
});
