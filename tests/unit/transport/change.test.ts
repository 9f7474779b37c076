import { describe, expect, test } from 'vitest';
import { beatsBetween } from '../../../lib/transport/beats';
import {
  withFootDown,
  withFootUp,
  withGoOn,
  withJump,
  withPause,
  withRamp,
  withRepeat,
  withTempo,
} from '../../../lib/transport/change';
import { positionAt } from '../../../lib/transport/place';
import type { Transport } from '../../../lib/transport/transport';
import { PLAYING, placeWords, TWO } from '../../kit/transport';

/** Where everybody is at each of these times: a pass takes 4 s from 10 s on. */
const places = (transport: Transport, times: readonly number[]) =>
  times.map((nowMs) => placeWords(positionAt(transport, TWO, nowMs)));

describe('foot up', () => {
  test.each([
    [9_000, 1],
    [12_000, 1],
    [15_000, 2],
    [21_000, 3],
  ])('a foot lifted at %i ms makes pass %i the last', (nowMs, lastPass) =>
    expect(withFootUp(PLAYING, TWO, nowMs)).toMatchObject({ lastPass }),
  );

  test('a foot lifted too late for everybody to hear of it makes the next pass the last', () =>
    expect(withFootUp(PLAYING, TWO, 13_800)).toMatchObject({ lastPass: 2 }));

  test('a foot lifted when it is over changes nothing', () =>
    expect(withFootUp(PLAYING, TWO, 30_000)).toEqual(PLAYING));

  test('a foot put down again goes on to the end', () =>
    expect(withFootDown(withFootUp(PLAYING, TWO, 12_000), 3)).toMatchObject({ lastPass: 3 }));

  test('it ends a pass that is repeated, and a jump that was set', () => {
    const repeated = withRepeat(PLAYING, TWO, 11_000, true);
    expect(places(withFootUp(repeated, TWO, 15_000), [17_999, 18_000])).toEqual([
      'pass 1 measure 1 slot 7',
      'ended',
    ]);
    const jumping = withJump(PLAYING, TWO, 11_000, 3);
    expect(places(withFootUp(jumping, TWO, 12_000), [13_999, 14_000])).toEqual([
      'pass 1 measure 1 slot 7',
      'ended',
    ]);
  });
});

describe('pause', () => {
  const paused = withPause(PLAYING, TWO, 10_700);

  test('everybody stops at the end of the measure, and waits as long as it takes', () =>
    expect(places(paused, [10_700, 11_999, 12_000, 1e9])).toEqual([
      'pass 1 measure 0 slot 2',
      'pass 1 measure 0 slot 7',
      'waits before pass 1 measure 1',
      'waits before pass 1 measure 1',
    ]));

  test('no beat is heard while it is waited', () =>
    expect(beatsBetween(paused, TWO, 11_000, 60_000).map(({ atMs }) => atMs)).toEqual([11_000]));

  test('it goes on with that measure after two measures of count', () => {
    const on = withGoOn(paused, TWO, 50_000);
    expect(places(on, [50_500, 50_600, 54_599, 54_600, 56_600])).toEqual([
      'count 1/4',
      'count 1/4',
      'count 4/4',
      'pass 1 measure 1 slot 0',
      'pass 2 measure 0 slot 0',
    ]);
  });

  test('who says "go on" while it still plays is not heard', () =>
    expect(withGoOn(paused, TWO, 11_000)).toBe(paused));

  test('at the end of the last pass there is nothing to wait for', () =>
    expect(withPause(PLAYING, TWO, 20_500)).toBe(PLAYING));
});

describe('another tempo', () => {
  test('takes effect at the next measure line', () => {
    const faster = withTempo(PLAYING, TWO, 10_700, 120);
    expect(places(faster, [11_999, 12_000, 12_125, 12_999, 13_000, 14_999, 15_000])).toEqual([
      'pass 1 measure 0 slot 7',
      'pass 1 measure 1 slot 0',
      'pass 1 measure 1 slot 1',
      'pass 1 measure 1 slot 7',
      'pass 2 measure 0 slot 0',
      'pass 2 measure 1 slot 7',
      'pass 3 measure 0 slot 0',
    ]);
  });

  test('a line that is too near for everybody to hear of it is left alone', () =>
    expect(places(withTempo(PLAYING, TWO, 11_700, 120), [13_999, 14_000, 14_500])).toEqual([
      'pass 1 measure 1 slot 7',
      'pass 2 measure 0 slot 0',
      'pass 2 measure 0 slot 4',
    ]));

  test('a jump that was set for the end of the pass stays there', () => {
    const both = withTempo(withJump(PLAYING, TWO, 10_100, 3), TWO, 10_700, 120);
    expect(places(both, [12_999, 13_000, 13_125])).toEqual([
      'pass 1 measure 1 slot 7',
      'pass 3 measure 0 slot 0',
      'pass 3 measure 0 slot 1',
    ]);
  });

  test('in a count-in it is counted anew, and while it is waited it is kept for going on', () => {
    const counted = withTempo(PLAYING, TWO, 8_000, 120);
    expect(counted).toMatchObject({ legs: [{ atMs: 10_600, tempo: 120 }] });
    const waiting = withTempo(withPause(PLAYING, TWO, 10_700), TWO, 20_000, 120);
    expect(withGoOn(waiting, TWO, 30_000)).toMatchObject({ legs: [{ tempo: 120, visit: 1 }] });
  });

  test('it leaves a pause that was set where it is', () => {
    const both = withTempo(withPause(PLAYING, TWO, 10_100), TWO, 10_700, 120);
    expect(places(both, [11_999, 12_000])).toEqual([
      'pass 1 measure 0 slot 7',
      'waits before pass 1 measure 1',
    ]);
    expect(withGoOn(both, TWO, 20_000)).toMatchObject({ legs: [{ tempo: 120 }] });
  });
});

describe('jump and repeat', () => {
  test('a jump comes at the end of the pass', () =>
    expect(places(withJump(PLAYING, TWO, 11_000, 3), [13_999, 14_000, 18_000])).toEqual([
      'pass 1 measure 1 slot 7',
      'pass 3 measure 0 slot 0',
      'ended',
    ]));

  test('a jump back goes on from there', () =>
    expect(places(withJump(PLAYING, TWO, 19_000, 2), [22_000, 26_000, 30_000])).toEqual([
      'pass 2 measure 0 slot 0',
      'pass 3 measure 0 slot 0',
      'ended',
    ]));

  test('who jumps past a lifted foot puts it down', () =>
    expect(withJump(withFootUp(PLAYING, TWO, 11_000), TWO, 12_000, 3)).toMatchObject({
      lastPass: 3,
    }));

  test('in a pause it comes at once', () => {
    const paused = withPause(PLAYING, TWO, 10_700);
    expect(places(withJump(paused, TWO, 20_000, 2), [30_000])).toEqual([
      'waits before pass 2 measure 0',
    ]);
  });

  test('a repeated pass comes again until it is let go', () => {
    const repeated = withRepeat(PLAYING, TWO, 15_000, true);
    expect(places(repeated, [14_100, 17_999, 18_000, 22_000, 90_000])).toEqual([
      'pass 2 measure 0 slot 0',
      'pass 2 measure 1 slot 7',
      'pass 2 measure 0 slot 0',
      'pass 2 measure 0 slot 0',
      'pass 2 measure 0 slot 0',
    ]);
    const let_go = withRepeat(repeated, TWO, 91_000, false);
    expect(places(let_go, [93_999, 94_000])).toEqual([
      'pass 2 measure 1 slot 7',
      'pass 3 measure 0 slot 0',
    ]);
  });
});

describe('a ramp', () => {
  // 60, 80, 100 and then 100 beats a minute: 4 beats a pass take 4 s, 3 s, 2.4 s.
  const ramped = withRamp({ ...PLAYING, lastPass: 9 }, TWO, 10_500, { step: 20, to: 100 });

  test.each([
    [10_500, 1, 60],
    [13_999, 1, 60],
    [14_000, 2, 80],
    [16_999, 2, 80],
    [17_000, 3, 100],
    [19_399, 3, 100],
    [19_401, 4, 100],
    [21_801, 5, 100],
  ])('at %i ms pass %i at %i beats a minute', (nowMs, pass, tempo) =>
    expect(positionAt(ramped, TWO, nowMs)).toMatchObject({ pass, tempo }),
  );

  test('it ends where somebody says a tempo', () =>
    expect(positionAt(withTempo(ramped, TWO, 14_500, 70), TWO, 60_000)).toMatchObject({
      kind: 'ended',
    }));

  test('it can go down', () =>
    expect(
      positionAt(withRamp(PLAYING, TWO, 10_500, { step: -20, to: 40 }), TWO, 14_100),
    ).toMatchObject({ pass: 2, tempo: 40 }));
});
