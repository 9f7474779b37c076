import { describe, expect, test } from 'vitest';
import { BANJO_STRING } from '../../../lib/sound/banjo';
import { PluckedString } from '../../../lib/sound/string';
import { centsBetween, decibels, peakOf, picksIn, pitchAt, RATE, samplesOf } from './measuring';
import { hzOf } from './open-g';

type Deed = (string: PluckedString) => void;

/** A string on its own to which things happen at times, in seconds. */
function played(deeds: readonly (readonly [number, Deed])[], seconds: number): Float32Array {
  const string = new PluckedString(RATE, BANJO_STRING, 11);
  const out = new Float64Array(samplesOf(seconds));
  let at = 0;
  for (const [when, deed] of deeds) {
    string.render(out, at, samplesOf(when));
    at = samplesOf(when);
    deed(string);
  }
  string.render(out, at, out.length);
  return Float32Array.from(out, (x) => x * 0.01);
}

const A3 = hzOf(3, 2);
const AS3 = hzOf(3, 3);
const B3 = hzOf(3, 4);
const pluck =
  (hz: number, level = 0.85): Deed =>
  (string) =>
    string.pluck(hz, level, 0.13);
const hammer =
  (hz: number): Deed =>
  (string) =>
    string.hammer(hz, 0.55);

describe('a hammer-on', () => {
  const hammered = played(
    [
      [0.1, pluck(A3)],
      [0.4, hammer(B3)],
    ],
    1.2,
  );
  const alone = played([[0.1, pluck(A3)]], 1.2);
  const struck = played(
    [
      [0.1, pluck(A3)],
      [0.4, pluck(B3)],
    ],
    1.2,
  );

  test('shows one pick, where two strikes show two', () => {
    expect(picksIn(hammered)).toHaveLength(1);
    expect(picksIn(struck)).toHaveLength(2);
  });

  test('sounds the new pitch within 2 cents', () => {
    expect(Math.abs(centsBetween(B3, pitchAt(hammered, 0.45).hz))).toBeLessThan(2);
    expect(Math.abs(centsBetween(A3, pitchAt(hammered, 0.2).hz))).toBeLessThan(2);
  });

  test('gives new energy, but less than a strike', () => {
    const late = (samples: Float32Array) => decibels(samples, 0.41, 0.5);
    expect(late(hammered)).toBeGreaterThan(late(alone) + 2);
    expect(late(hammered)).toBeLessThan(late(struck) - 2);
  });

  test('out of nowhere sounds a string that was still', () => {
    const nowhere = played([[0.1, hammer(B3)]], 0.5);
    expect(Math.abs(centsBetween(B3, pitchAt(nowhere, 0.15).hz))).toBeLessThan(2);
    expect(picksIn(nowhere).length).toBeLessThanOrEqual(1);
  });
});

describe('a pull-off', () => {
  const pull: Deed = (string) => string.pull(hzOf(3, 0), 0.5, 0.42);
  const pulled = played(
    [
      [0.1, pluck(A3)],
      [0.4, pull],
    ],
    1.2,
  );

  test('sounds the lower pitch within 2 cents', () =>
    expect(Math.abs(centsBetween(hzOf(3, 0), pitchAt(pulled, 0.45).hz))).toBeLessThan(2));

  test('is softer and duller than a strike', () => {
    const struck = played(
      [
        [0.1, pluck(A3)],
        [0.4, pluck(hzOf(3, 0))],
      ],
      1.2,
    );
    expect(decibels(pulled, 0.4, 0.5)).toBeLessThan(decibels(struck, 0.4, 0.5) - 2);
    const edge = (samples: Float32Array) =>
      peakOf(
        samples.subarray(samplesOf(0.4), samplesOf(0.41)).map((x, i, all) => x - (all[i - 1] ?? x)),
      );
    expect(edge(pulled)).toBeLessThan(edge(struck) / 2);
  });
});

describe('a slide', () => {
  const slide =
    (hz: number): Deed =>
    (string) =>
      string.slide(hz);
  const cases = [
    ['up', A3, AS3, B3],
    ['down', B3, AS3, A3],
    ['up on string 4', hzOf(4, 3), hzOf(4, 4), hzOf(4, 5)],
  ] as const;

  test.each(cases)('%s glides monotonically between its two pitches', (_, from, over, to) => {
    const slid = played(
      [
        [0.1, pluck(from)],
        [0.35, slide(over)],
        [0.4, slide(to)],
      ],
      1,
    );
    const direction = Math.sign(to - from);
    let last: number = from;
    for (let at = 0.15; at < 0.6; at += 0.004) {
      const { hz } = pitchAt(slid, at, 2048);
      // What a detector reads from sound that changes under its window is good to a cent or two.
      expect(direction * centsBetween(last, hz)).toBeGreaterThan(-2);
      last = hz;
    }
    expect(Math.abs(centsBetween(from, pitchAt(slid, 0.2).hz))).toBeLessThan(2);
    expect(Math.abs(centsBetween(to, pitchAt(slid, 0.45).hz))).toBeLessThan(2);
  });

  test('passes through the fret between', () => {
    const slid = played(
      [
        [0.1, pluck(A3)],
        [0.35, slide(AS3)],
        [0.45, slide(B3)],
      ],
      1,
    );
    expect(Math.abs(centsBetween(AS3, pitchAt(slid, 0.38, 2048).hz))).toBeLessThan(4);
  });

  test('keeps ringing without a pick, and loses energy', () => {
    const slid = played(
      [
        [0.1, pluck(A3)],
        [0.35, slide(AS3)],
        [0.4, slide(B3)],
      ],
      1,
    );
    const left = played([[0.1, pluck(A3)]], 1);
    expect(picksIn(slid)).toHaveLength(1);
    expect(decibels(slid, 0.42, 0.5)).toBeLessThan(decibels(left, 0.42, 0.5) - 1);
    expect(decibels(slid, 0.42, 0.5)).toBeGreaterThan(decibels(left, 0.42, 0.5) - 8);
  });

  test('of a string that is still is not heard', () =>
    expect(peakOf(played([[0.1, slide(B3)]], 0.5))).toBe(0));
});

describe('a stopped hand', () => {
  test('ends what rings within a tenth of a second', () => {
    const stopped = played(
      [
        [0.1, pluck(A3)],
        [0.4, (string) => string.damp()],
      ],
      1.2,
    );
    expect(decibels(stopped, 0.5, 0.6)).toBeLessThan(decibels(stopped, 0.3, 0.4) - 50);
    expect(picksIn(stopped)).toHaveLength(1);
  });

  test('makes a struck string knock and hardly sound', () => {
    const knock = played([[0.1, (string) => string.pluck(A3, 0.5, 0.13, true)]], 0.6);
    expect(peakOf(knock)).toBeGreaterThan(0.01);
    expect(decibels(knock, 0.2, 0.3)).toBeLessThan(decibels(knock, 0.1, 0.12) - 40);
  });

  test('a string that was never played stays still', () => {
    const string = new PluckedString(RATE, BANJO_STRING, 11);
    string.damp();
    expect(string.sounds).toBe(false);
  });
});

describe('a string', () => {
  test('rings on until it rests, and then is silent to the last bit', () => {
    const long = played([[0.1, pluck(A3)]], 6);
    expect(decibels(long, 0.9, 1)).toBeGreaterThan(decibels(long, 0.1, 0.2) - 60);
    expect(peakOf(long.subarray(samplesOf(5)))).toBe(0);
    expect(decibels(long, 3.6, 3.7)).toBeLessThan(-120);
  });

  test('played again does not jump: the new note grows out of the old one', () => {
    const twice = played(
      [
        [0.1, pluck(A3)],
        [0.3, pluck(B3, 0.001)],
      ],
      0.6,
    );
    const step = (from: number, to: number) =>
      peakOf(
        twice.subarray(samplesOf(from), samplesOf(to)).map((x, i, all) => x - (all[i - 1] ?? x)),
      );
    expect(step(0.3, 0.31)).toBeLessThan(1.2 * step(0.28, 0.3));
  });

  test('is brighter when it is played harder', () => {
    const bright = (level: number) => {
      const samples = played([[0.1, pluck(A3, level)]], 0.3);
      const edges = samples.map((x, i) => x - (samples[i - 1] ?? 0));
      return decibels(edges, 0.1, 0.15) - decibels(samples, 0.1, 0.15);
    };
    expect(bright(1)).toBeGreaterThan(bright(0.2) + 0.5);
  });
});
