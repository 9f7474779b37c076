import fc from 'fast-check';
import { expect, test } from 'vitest';
import { frettingPath, timeToMove } from '../../../lib/hands/fretting';
import type { Hold } from '../../../lib/hands/hold';
import { FINGERS, holdCost, isHold } from '../../../lib/hands/hold';
import type { Moment } from '../../../lib/hands/moments';
import { momentsOf } from '../../../lib/hands/moments';
import { IMPOSSIBLE, moveCost } from '../../../lib/hands/move';
import { meterNamed } from '../../../lib/rhythm';
import type { By, Measure, Note, Stroke } from '../../../lib/tab/measure';
import { neckOf, TUNINGS } from '../../../lib/tuning';
import type { StringNumber } from '../../../lib/units';
import { playable } from '../embellish/measures';

const METER = meterNamed('4/4');
const [OPEN_G] = TUNINGS;
if (!OPEN_G) throw new RangeError('no tuning');

const notes: fc.Arbitrary<readonly Note[]> = fc
  .uniqueArray(
    fc.record({
      string: fc.constantFrom<StringNumber>(1, 2, 3, 4),
      fret: fc.constantFrom(0, 0, 1, 2, 3, 4, 5, 7, 9, 12),
    }),
    { minLength: 1, maxLength: 2, selector: ({ string }) => string },
  )
  .map((list) => [...list].sort((a, b) => a.string - b.string));

const sounds = fc.array(
  fc.record({
    notes,
    by: fc.constantFrom<By>('brush', 'brush', 'hammer', 'pull', 'slide'),
    slots: fc.constantFrom(1, 2, 4),
  }),
  { minLength: 1, maxLength: 4 },
);

/** Small measures, not all of them sensible: what matters is that both ways of searching see the same moments. */
const small: fc.Arbitrary<Measure> = sounds.map((list) => {
  let at = 0;
  const strokes = list.map(({ notes: all, by, slots }): Stroke => {
    const [first] = all;
    const length = slots * METER.slot;
    const stroke = { at, length, by, notes: by === 'brush' || !first ? all : [first] };
    at += length;
    return stroke;
  });
  return { meter: METER, startsAt: 0, ticks: at, strokes };
});

/** Every hand position with every choice of fingers: all that a hand could try, most of it nonsense. */
function everyHold(moment: Moment): readonly Hold[] {
  const holds: Hold[] = [];
  for (let position = 1; position <= 22; position++) {
    let choices: (readonly (typeof FINGERS)[number][])[] = [[]];
    for (const _ of moment.stopped)
      choices = choices.flatMap((some) => FINGERS.map((finger) => [...some, finger]));
    holds.push(...choices.map((fingers) => ({ position, fingers })));
  }
  return holds.filter((hold) => isHold(moment, hold));
}

/** The least cost over all sequences of holds, by trying every one of them. */
function leastCost(moments: readonly Moment[], tempo: number, capo: number): number {
  const all = moments.map(everyHold);
  const from = (index: number, before: Hold | undefined): number => {
    const moment = moments[index];
    const previous = moments[index - 1];
    if (!moment) return 0;
    let least = Number.POSITIVE_INFINITY;
    for (const hold of all[index] ?? []) {
      const move =
        previous && before
          ? moveCost(
              previous,
              before,
              moment,
              hold,
              timeToMove(METER, tempo, previous, moment),
              capo,
            )
          : 0;
      const cost = holdCost(moment, hold, capo) + move + from(index + 1, hold);
      if (cost < least) least = cost;
    }
    return least;
  };
  return from(0, undefined);
}

test('the path costs as little as the best of all fingerings, and is impossible exactly when all are', () => {
  let compared = 0;
  let impossible = 0;
  fc.assert(
    fc.property(
      small,
      fc.constantFrom(50, 90, 110, 125),
      fc.constantFrom(0, 2),
      (measure, tempo, capo) => {
        const moments = momentsOf([measure]);
        const path = frettingPath([measure], neckOf(OPEN_G, capo), tempo);
        if (moments.length > 3) return;
        const least = leastCost(moments, tempo, capo);
        compared += 1;
        expect(path.ok).toBe(least < IMPOSSIBLE);
        if (path.ok) expect(path.value.cost).toBeCloseTo(least, 6);
        else impossible += 1;
      },
    ),
    { seed: 1, numRuns: 3000 },
  );
  expect(compared).toBeGreaterThan(2000);
  expect(impossible).toBeGreaterThan(100);
});

test('a slower tempo never makes a playable measure impossible, nor costlier', () => {
  fc.assert(
    fc.property(playable, fc.integer({ min: 60, max: 125 }), ({ measure, neck }, tempo) => {
      const fast = frettingPath([measure], neck, tempo);
      const slow = frettingPath([measure], neck, tempo - 20);
      if (!fast.ok) return;
      expect(slow.ok).toBe(true);
      expect(slow.ok && slow.value.cost).toBeLessThanOrEqual(fast.value.cost + 1e-9);
    }),
    { seed: 1, numRuns: 500 },
  );
});

test('every stopped note of a possible measure has a finger, and no open one has', () => {
  fc.assert(
    fc.property(playable, ({ measure, neck }) => {
      const path = frettingPath([measure], neck, 60);
      if (!path.ok) return;
      for (const [stroke, { by, notes: sounding }] of measure.strokes.entries()) {
        if (by === 'chop') continue;
        const fingered = path.value.moments.find((moment) => moment.stroke === stroke)?.notes ?? [];
        for (const { string, fret } of sounding)
          expect(fingered.some((note) => note.string === string && note.fret === fret)).toBe(
            fret > 0,
          );
      }
    }),
    { seed: 1, numRuns: 500 },
  );
});
