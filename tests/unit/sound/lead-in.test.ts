import { describe, expect, test } from 'vitest';
import type { LeadIn } from '../../../lib/sound/lead-in';
import { scoreOf } from '../../../lib/sound/score';
import type { Measure } from '../../../lib/tab/measure';
import type { TuningId } from '../../../lib/tuning';
import { neckOf, TUNINGS } from '../../../lib/tuning';
import { bar } from '../../kit/tab';
import { openG } from './open-g';

const FULL = bar('4/4', 's3 . b123 t5 | s3 . b123 t5');
const COUNT: LeadIn = { kind: 'count' };
const POTATOES: LeadIn = { kind: 'potatoes', tonic: 7 };

function led(leadIn: LeadIn, first: Measure = FULL, swing = 0.5) {
  const score = scoreOf({ measures: [first, FULL], neck: openG(), tempo: 60, leadIn, swing });
  const start = score.measures[0] ?? 0;
  return { ...score, start, before: score.events.filter(({ at }) => at < start - 1e-9) };
}

describe('a count', () => {
  test('is two measures of clicks, each first one accented', () => {
    const { before, start } = led(COUNT);
    expect(before).toEqual([0, 1, 2, 3].map((at) => ({ kind: 'click', at, accent: at % 2 === 0 })));
    expect(start).toBe(4);
  });

  test.each([
    ['2/4', 's3 . b123 t5 s3 . b123 t5', 4],
    ['3/4', 's3 . b123 t5 b123 t5', 6],
    ['6/8', 's3 b123 t5 s3 b123 t5', 4],
  ] as const)('in %s has as many clicks as two measures have beats', (meter, text, count) =>
    expect(led(COUNT, bar(meter, text)).before).toHaveLength(count),
  );

  test('gives its end to a pickup, so that the bar line is where the count ends', () => {
    const { before, start, measures } = led(COUNT, bar('4/4', 's1 t5', { startsAt: 1440 }));
    expect(start).toBe(3.5);
    expect(measures[1]).toBe(4);
    expect(before).toHaveLength(4);
  });
});

// Common practice, no source: four potatoes are a shuffle on the tonic, long, short, short, four times.
describe('potatoes', () => {
  test('are four times long, short, short on the tonic', () => {
    const { before, start } = led(POTATOES);
    expect(before.map(({ at }) => at)).toEqual(
      [0, 1, 2, 3].flatMap((beat) => [beat, beat + 0.5, beat + 0.75]),
    );
    expect(start).toBe(4);
    for (const event of before)
      expect(event).toMatchObject({ kind: 'pluck', string: 3, hz: expect.closeTo(195.998, 3) });
  });

  test('the long one is the louder', () => {
    const [long, short] = led(POTATOES).before;
    expect(long?.kind === 'pluck' && short?.kind === 'pluck' && long.level > short.level).toBe(
      true,
    );
  });

  test('swing as the tune does', () =>
    expect(led(POTATOES, FULL, 2 / 3).before[2]?.at).toBeCloseTo(0.5 + 1 / 3, 9));

  test('in 6/8 are even', () => {
    const { before } = led(POTATOES, bar('6/8', 's3 b123 t5 s3 b123 t5'));
    expect(before.slice(0, 3).map(({ at }) => at)).toEqual(
      [0, 1 / 3, 2 / 3].map((at) => expect.closeTo(at, 9)),
    );
  });

  test('give way to a pickup', () => {
    const { before, start, measures } = led(POTATOES, bar('4/4', 's1 t5', { startsAt: 1440 }));
    expect(start).toBe(3.5);
    expect(measures[1]).toBe(4);
    expect(before).toHaveLength(10);
  });

  test.each([
    ['gDGBD', 7, 3],
    ['gCGCD', 0, 4],
    ['aDADE', 2, 4],
    ['gDGCD', 7, 3],
    ['gCGBD', 0, 4],
    ['f#DF#AD', 2, 4],
    ['gDGBD', 9, 3],
  ] as const)('%s with tonic %i are on string %i', (id: TuningId, tonic, string) => {
    const tuning = TUNINGS.find((each) => each.id === id);
    if (!tuning) throw new RangeError(id);
    const { events } = scoreOf({
      measures: [FULL],
      neck: neckOf(tuning),
      tempo: 60,
      leadIn: { kind: 'potatoes', tonic },
    });
    expect(events[0]).toMatchObject({ kind: 'pluck', string });
  });
});
