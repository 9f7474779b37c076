import { describe, expect, test } from 'vitest';
import type { SoundEvent } from '../../../lib/sound/event';
import { scoreOf } from '../../../lib/sound/score';
import type { Measure } from '../../../lib/tab/measure';
import { neckOf, TUNINGS } from '../../../lib/tuning';
import { STRINGS } from '../../../lib/units';
import { bar } from '../../kit/tab';
import { hzOf, openG } from './open-g';

const neck = openG();

/** The events without their times and loudness: "pluck3" and so on. */
function kinds(events: readonly SoundEvent[]): string {
  return events
    .map((event) =>
      event.kind === 'click' ? (event.accent ? 'CLICK' : 'click') : `${event.kind}${event.string}`,
    )
    .join(' ');
}

function scored(measures: readonly Measure[], rest: { readonly swing?: number } = {}) {
  // 60 beats of 960 ticks a minute: a measure lasts 2 s, a slot 0.25 s.
  return scoreOf({ measures, neck, tempo: 60, ...rest });
}

describe('strokes as events', () => {
  const table = [
    ['a strike is one pluck', 's3.2 . . . | . . . .', 'pluck3'],
    ['a brush runs over the low strings first', 'b123 . . . | . . . .', 'pluck3 pluck2 pluck1'],
    ['a thumb is a pluck', 't5 . . . | . . . .', 'pluck5'],
    ['a hammer comes after its strike', 's3 h3.2 . . | . . . .', 'pluck3 hammer3'],
    ['a pull comes after its strike', 's3.2 p3 . . | . . . .', 'pluck3 pull3'],
    ['a slide over two frets crosses two', 's3.2 l3.4 . . | . . . .', 'pluck3 slide3 slide3'],
    ['a slide of one fret crosses one', 's3.3 l3.2 . . | . . . .', 'pluck3 slide3'],
    ['a slide from nowhere is a hammer', 'l3.4 . . . | . . . .', 'hammer3'],
    ['a plucked string is a pull', 's3 k1 . . | . . . .', 'pluck3 pull1'],
    ['a stopped brush plucks its strings', 'x34 . . . | . . . .', 'pluck4 pluck3'],
    ['a rest is nothing and stops nothing', 's3 r t5 r | . . . .', 'pluck3 pluck5'],
    ['a fret that the neck lacks is not heard', 's3 t5.3 . . | . . . .', 'pluck3'],
  ] as const;

  test.each(table)('%s', (_, text, wanted) =>
    expect(kinds(scored([bar('4/4', text)]).events)).toBe(wanted),
  );

  test('only a stopped brush is stopped', () => {
    const { events } = scored([bar('4/4', 'x34 . s3 . | b12 . . t5')]);
    expect(events.map((event) => event.kind === 'pluck' && event.stopped === true)).toEqual([
      true,
      true,
      false,
      false,
      false,
      false,
    ]);
  });

  test('every string at every fret sounds what the neck says, under a capo too', () => {
    for (const tuning of TUNINGS)
      for (const capo of [0, 2]) {
        const at = neckOf(tuning, capo);
        for (const string of STRINGS)
          for (const fret of [0, 7, 12]) {
            const measure = bar('4/4', `s${string}.${fret} . . . . . . .`);
            const [event] = scoreOf({ measures: [measure], neck: at, tempo: 60 }).events;
            expect(event).toMatchObject({ kind: 'pluck', string, hz: hzOf(string, fret, at) });
          }
      }
  });

  test('the levels are from 0 to 1 and the finger touches at most half way up', () => {
    const { events } = scored([bar('4/4', 's1.12 h1.14 b1.20+2.20 t5.12 | s1.12 p1.5 x123 k4')]);
    for (const event of events) {
      if (event.kind !== 'pluck' && event.kind !== 'pull') continue;
      expect(event.level).toBeGreaterThan(0);
      expect(event.level).toBeLessThanOrEqual(1);
      expect(event.position).toBeLessThanOrEqual(0.5);
    }
  });
});

describe('strokes in time', () => {
  test('a slot at 60 in 4/4 is a quarter of a second', () => {
    const { strokes, seconds } = scored([
      bar('4/4', 's3 . b123 t5 | s3 . b123 t5'),
      bar('4/4', 's1 . . . | . . . .'),
    ]);
    expect(strokes.map(({ at }) => at)).toEqual([0, 0.5, 0.75, 1, 1.5, 1.75, 2]);
    expect(seconds).toBe(4);
  });

  // Common practice, no source: 32 measures of a reel at 110 last 34.9 s.
  test('a reel of 32 measures at 110 lasts 34.9 s', () => {
    const measures = Array.from({ length: 32 }, () => bar('2/2', 's3 . b123 t5 | s3 . b123 t5'));
    expect(scoreOf({ measures, neck, tempo: 110 }).seconds).toBeCloseTo(34.909, 3);
  });

  test.each([
    ['2/4', 's3 . b123 t5 | s3 . b123 t5', 2],
    ['3/4', 's3 . b123 t5 | b123 t5', 3],
    ['6/8', 's3 b123 t5 | s3 b123 t5', 2],
  ] as const)('a measure of %s has its beats', (meter, text, seconds) =>
    expect(scored([bar(meter, text)]).seconds).toBeCloseTo(seconds, 9),
  );

  test('a brush passes its strings within three hundredths of a second', () => {
    const { events } = scored([bar('4/4', 'b1234 . . . | . . . .')]);
    const times = events.map(({ at }) => at);
    expect(times).toHaveLength(4);
    expect(times[0]).toBe(0);
    expect(times).toEqual([...times].sort((a, b) => a - b));
    expect(times.at(-1)).toBeLessThan(0.03);
    expect(times.at(-1)).toBeGreaterThan(0.01);
  });

  test('a quick brush is over within a quarter of its length', () => {
    const measure = bar('4/4', 'b1234~60 s1~60');
    const { events } = scoreOf({ measures: [measure], neck, tempo: 240 });
    expect(events[3]?.at).toBeLessThanOrEqual((60 / 960 / 4) * 0.25 + 1e-12);
  });

  test('a slide is over at its stroke and leaves the struck note its share', () => {
    const { events, strokes } = scored([bar('4/4', 's3.2 l3.5 . . | . . . .')]);
    const slides = events.filter(({ kind }) => kind === 'slide');
    expect(slides.map(({ at }) => at)).toEqual(
      [0.15, 0.2, 0.25].map((at) => expect.closeTo(at, 9)),
    );
    expect(strokes[1]?.at).toBe(0.25);
    const quick = scoreOf({
      measures: [bar('4/4', 's3.2~60 l3.5~180 . .')],
      neck,
      tempo: 120,
    }).events;
    // The struck note lasts 31 ms; a third of it is left alone.
    expect(quick[1]?.at).toBeGreaterThan(0.031 / 3);
    expect(quick[3]?.at).toBeCloseTo(60 / 960 / 2, 9);
  });

  test.each([
    ['up', 's3.2 l3.5', 3, [2, 3, 4, 5]],
    ['down', 's4.5 l4.3', 4, [5, 4, 3]],
    ['on the drone, by the neck', 't5.7 l5.9', 5, [7, 8, 9]],
  ] as const)('a slide %s passes the frets between in order', (_, text, string, frets) => {
    const { events } = scored([bar('4/4', `${text} . . | . . . .`)]);
    expect(events.map((event) => 'hz' in event && event.hz)).toEqual(
      frets.map((fret) => hzOf(string, fret)),
    );
  });

  test('a slide over the bar line knows where it comes from', () => {
    const { events } = scored([
      bar('4/4', 's3.2 . . . . . . .'),
      bar('4/4', 'l3.4 . . . | . . . .'),
    ]);
    expect(kinds(events)).toBe('pluck3 slide3 slide3');
    expect(events[2]?.at).toBeCloseTo(2, 9);
  });

  test.each([0, -1, Number.NaN, Number.POSITIVE_INFINITY])('tempo %f is refused', (tempo) =>
    expect(() => scoreOf({ measures: [], neck, tempo })).toThrow(RangeError),
  );
});

describe('swing', () => {
  const measure = bar('4/4', 's3 t5 b123 t5 | s3 t5 b123 t5');

  test('moves the odd slots and leaves the even ones', () => {
    const { strokes } = scored([measure], { swing: 2 / 3 });
    expect(strokes.map(({ at }) => at)).toEqual(
      [0, 1 / 3, 0.5, 5 / 6, 1, 4 / 3, 1.5, 11 / 6].map((at) => expect.closeTo(at, 9)),
    );
  });

  test('is straight unless told', () => {
    const { strokes } = scored([measure]);
    expect(strokes.map(({ at }) => at)).toEqual([0, 0.25, 0.5, 0.75, 1, 1.25, 1.5, 1.75]);
  });

  test('leaves the threes of 6/8 alone', () => {
    const jig = bar('6/8', 's3 b123 t5 | s3 b123 t5');
    expect(scored([jig], { swing: 0.7 }).strokes).toEqual(scored([jig]).strokes);
  });

  test('does not make a measure longer, and goes by the bar in a pickup', () => {
    expect(scored([measure, measure], { swing: 0.75 }).seconds).toBe(4);
    const pickup = bar('4/4', 't5', { startsAt: 1680 });
    // The last slot of the bar is odd: late by half of a slot at 3/4, in a measure that lasts a slot.
    expect(scored([pickup], { swing: 0.75 }).strokes[0]?.at).toBeCloseTo(0.125, 9);
  });

  test.each([0.49, 0.76, Number.NaN])('%f is refused', (swing) =>
    expect(() => scored([measure], { swing })).toThrow(RangeError),
  );
});

describe('clicks', () => {
  const clicks = (measures: readonly Measure[]) =>
    scoreOf({ measures, neck, tempo: 60, click: true }).events.filter(
      ({ kind }) => kind === 'click',
    );

  test('fall on the beats, the first of a measure accented', () => {
    const all = clicks([bar('4/4', 's3 . . . . . . .'), bar('4/4', 's3 . . . . . . .')]);
    expect(all.map(({ at }) => at)).toEqual([0, 1, 2, 3]);
    expect(kinds(all)).toBe('CLICK click CLICK click');
  });

  test('count a pickup from its bar line', () => {
    const all = clicks([
      bar('4/4', 's3 t5 s3 t5', { startsAt: 960 }),
      bar('4/4', 's3 . . . . . . .'),
    ]);
    expect(kinds(all)).toBe('click CLICK click');
    expect(all.map(({ at }) => at)).toEqual([0, 1, 2]);
  });
});
