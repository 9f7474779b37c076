import { describe, expect, test } from 'vitest';
import type { Output } from '../../../../app/_islands/sound/output';
import { Player } from '../../../../app/_islands/sound/player';
import type { Rounds } from '../../../../app/_islands/sound/round';
import { roundOf } from '../../../../app/_islands/sound/round';
import type { Mix } from '../../../../lib/sound/banjo';
import { DEFAULT_MIX } from '../../../../lib/sound/banjo';
import type { SoundEvent } from '../../../../lib/sound/event';
import { bar } from '../../../kit/tab';
import { openG } from '../../sound/open-g';

const neck = openG();
/** One strike on each beat: two a measure. */
const measure = bar('4/4', 's3 . . . | s1 . . .');
const LATENCY = 0.03;

/** An output whose clock a test moves. */
class Bench implements Output {
  readonly silent = true;
  time = 10;
  events: SoundEvent[] = [];
  mixes: Mix[] = [];
  private ticks: () => void = () => undefined;
  now = () => this.time;
  heard = () => this.time - LATENCY;
  play(events: readonly SoundEvent[]) {
    this.events.push(...events);
  }
  forget(from: number) {
    this.events = this.events.filter(({ at }) => at < from);
  }
  setMix(mix: Mix) {
    this.mixes.push(mix);
  }
  stop() {
    this.events = this.events.filter(({ at }) => at < this.time);
  }
  onTick(tick: () => void) {
    this.ticks = tick;
  }
  /** Lets so many seconds pass, with a tick every fifth of one. */
  pass(seconds: number) {
    for (const end = this.time + seconds; this.time < end - 1e-9; ) {
      this.time = Math.min(end, this.time + 0.2);
      this.ticks();
    }
  }
}

const round = (tempo: number, alone = false) =>
  roundOf({ measures: [measure], neck, tempo, click: false }, ['#here'], { alone });
const forever: Rounds = () => round(120);
const once: Rounds = (index) => (index === 0 ? round(120) : undefined);

function plucks({ events }: Bench): readonly number[] {
  return events.filter(({ kind }) => kind === 'pluck').map(({ at }) => Number(at.toFixed(6)));
}

test('rounds follow one another without a gap, for as long as there are any', () => {
  const bench = new Bench();
  const player = new Player(bench);
  player.play(forever);
  bench.pass(30);
  const times = plucks(bench);
  expect(times.length).toBeGreaterThan(60);
  // Two strikes a second at 120 beats a minute.
  for (const [i, at] of times.entries()) expect(at).toBeCloseTo(10.12 + 0.5 * i, 6);
  expect(player.playing).toBe(true);
});

test('sound is laid out seconds ahead, so that a busy page does not break it', () => {
  const bench = new Bench();
  new Player(bench).play(forever);
  expect(plucks(bench).at(-1)).toBeGreaterThan(bench.time + 4);
});

test('after the last round it is over, and says so', () => {
  const bench = new Bench();
  const player = new Player(bench);
  const told: boolean[] = [];
  player.subscribe(() => told.push(player.playing));
  player.play(once);
  bench.pass(3);
  expect(plucks(bench)).toEqual([10.12, 10.62]);
  expect(told[0]).toBe(true);
  expect(told.at(-1)).toBe(false);
  expect(player.heard()).toBeUndefined();
});

test.each<[string, Rounds]>([
  ['nothing', () => undefined],
  ['a round without measures', () => roundOf({ measures: [], neck, tempo: 60 }, [])],
])('%s is over at once', (_, rounds) => {
  const player = new Player(new Bench());
  player.play(rounds);
  expect(player.playing).toBe(false);
});

test('a stop takes everything back', () => {
  const bench = new Bench();
  const player = new Player(bench);
  player.play(forever);
  bench.pass(1);
  player.stop();
  expect(player.playing).toBe(false);
  bench.pass(5);
  expect(plucks(bench).every((at) => at <= 11)).toBe(true);
});

test('what is started takes the place of what was playing', () => {
  const bench = new Bench();
  const player = new Player(bench);
  player.play(forever);
  bench.pass(2);
  player.play(once);
  bench.pass(3);
  expect(plucks(bench).filter((at) => at > 12)).toEqual([12.12, 12.62]);
});

test('levels reach the output', () => {
  const bench = new Bench();
  const mix = { ...DEFAULT_MIX, drone: 0 };
  new Player(bench).setMix(mix);
  expect(bench.mixes).toEqual([mix]);
});

describe('a change', () => {
  test('counts from the next round on where this one has no bar line left', () => {
    const bench = new Bench();
    const player = new Player(bench);
    player.play(forever);
    bench.pass(1.4);
    const asked: number[] = [];
    player.change((index) => {
      asked.push(index);
      return round(60);
    });
    // Round 1 sounds from 11.12 to 12.12; from then on beats are a second apart.
    expect(asked.slice(0, 3)).toEqual([1, 2, 3]);
    bench.pass(4);
    expect(plucks(bench).filter((at) => at > 11)).toEqual(
      expect.arrayContaining([11.12, 11.62, 12.12, 13.12, 14.12]),
    );
    expect(plucks(bench)).not.toContain(12.62);
  });

  const two = (tempo: number, place = '#b') =>
    roundOf({ measures: [measure, measure], neck, tempo }, ['#a', place]);

  test('counts from the next bar line on where the measures are the same', () => {
    const bench = new Bench();
    const player = new Player(bench);
    player.play((index) => (index === 0 ? two(120) : undefined));
    bench.pass(0.4);
    player.change((index) => (index === 0 ? two(60) : undefined));
    // The first measure stays at half a second a beat, the second one has a second.
    bench.pass(1);
    expect(player.heard()).toMatchObject({ measure: 1, stroke: 0, beat: 0, index: 0 });
    bench.pass(0.9);
    expect(player.heard()).toMatchObject({ measure: 1, stroke: 1, beat: 1, index: 0 });
    expect(plucks(bench)).toEqual([10.12, 10.62, 11.12, 12.12]);
    bench.pass(2);
    expect(player.playing).toBe(false);
  });

  test('waits for the next round where the measures are others', () => {
    const bench = new Bench();
    const player = new Player(bench);
    player.play(() => two(120));
    bench.pass(0.4);
    player.change(() => two(60, '#c'));
    bench.pass(4);
    expect(plucks(bench).slice(0, 6)).toEqual([10.12, 10.62, 11.12, 11.62, 12.12, 13.12]);
  });

  test('before the first sound is one of all of it', () => {
    const bench = new Bench();
    const player = new Player(bench);
    player.play(() => two(120));
    player.change(() => two(60));
    bench.pass(4);
    expect(plucks(bench).slice(0, 3)).toEqual([10.12, 11.12, 12.12]);
  });

  test('at the very end of a round is one of the next', () => {
    const bench = new Bench();
    const player = new Player(bench);
    player.play(() => two(120));
    bench.pass(2.05);
    player.change(() => two(60));
    bench.pass(6);
    // Round 1 begins at 12.12, too soon to be changed; its second measure is slower.
    expect(plucks(bench).filter((at) => at >= 12)).toEqual(
      expect.arrayContaining([12.12, 12.62, 13.12, 14.12, 15.12, 16.12]),
    );
  });

  test('is nothing when nothing is played', () => {
    const bench = new Bench();
    new Player(bench).change(forever);
    expect(bench.events).toEqual([]);
  });
});

describe('the place', () => {
  test('is what is heard, not what is made', () => {
    const bench = new Bench();
    const player = new Player(bench);
    player.play(forever);
    const at = (time: number) => {
      bench.time = time;
      const { stroke, beat, index } = player.heard() ?? {};
      return { stroke, beat, index };
    };
    expect(at(10.12)).toEqual({ stroke: undefined, beat: 0, index: 0 });
    expect(at(10.12 + LATENCY + 0.001)).toEqual({ stroke: 0, beat: 0, index: 0 });
    expect(at(10.62 + LATENCY - 0.001)).toEqual({ stroke: 0, beat: 0, index: 0 });
    expect(at(10.62 + LATENCY + 0.001)).toEqual({ stroke: 1, beat: 1, index: 0 });
    expect(at(11.12 + LATENCY + 0.001)).toEqual({ stroke: 0, beat: 0, index: 1 });
  });

  test('can be asked for a moment ahead', () => {
    const bench = new Bench();
    const player = new Player(bench);
    player.play(forever);
    bench.time = 10.62 + LATENCY - 0.005;
    expect(player.heard()?.stroke).toBe(0);
    expect(player.heard(0.01)?.stroke).toBe(1);
  });

  test('is the count before the first measure', () => {
    const counted = roundOf(
      { measures: [measure], neck, tempo: 120, leadIn: { kind: 'count' } },
      [],
    );
    const bench = new Bench();
    const player = new Player(bench);
    player.play((index) => (index === 0 ? counted : undefined));
    const at = (time: number) => {
      bench.time = 10.12 + LATENCY + time;
      return [player.heard()?.measure, player.heard()?.beat];
    };
    expect([at(0.1), at(0.6), at(1.6), at(2.1)]).toEqual([
      [undefined, 0],
      [undefined, 1],
      [undefined, 3],
      [0, 0],
    ]);
  });
});

describe('a round', () => {
  const request = { measures: [measure], neck, tempo: 120, click: true };
  const kinds = (events: readonly SoundEvent[]) => new Set(events.map(({ kind }) => kind));

  test('of one’s own has the click and hands on the strings, and as long as the other', () => {
    const alone = roundOf(request, [], { alone: true }).score;
    expect(kinds(alone.events)).toEqual(new Set(['damp', 'click']));
    expect(alone.seconds).toBe(roundOf(request, []).score.seconds);
    expect(alone.strokes).toEqual(roundOf(request, []).score.strokes);
  });

  test('has its first click stand out, or not', () => {
    const accents = (accent: boolean) =>
      roundOf(request, [], { accent }).score.events.flatMap((event) =>
        event.kind === 'click' ? [event.accent] : [],
      );
    expect(accents(true)).toEqual([true, false]);
    expect(accents(false)).toEqual([false, false]);
  });
});
