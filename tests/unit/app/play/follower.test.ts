import { describe, expect, test } from 'vitest';
import { Follower } from '../../../../app/_islands/play/follower';
import type { Music } from '../../../../app/_islands/play/heard';
import { SILENT } from '../../../../app/_islands/play/wish';
import type { Output } from '../../../../app/_islands/sound/output';
import type { SoundEvent } from '../../../../lib/sound/event';
import { withTempo } from '../../../../lib/transport/change';
import type { Playing } from '../../../../lib/transport/transport';
import { timelineOf } from '../../../../lib/tune';
import type { BoardId } from '../../../../lib/units';
import { demoDocuments } from '../../../../shared/board/demo';
import { readBoard } from '../../../../shared/board/read';
import { seeded } from '../../../kit/link';

const demo = readBoard('demo' as BoardId, demoDocuments());
if (!demo) throw new Error('the demo board cannot be read');
const music: Music = {
  played: { tune: demo.tune, plan: { passes: [{}], variants: {} } },
  timeline: timelineOf(demo.tune),
};
const WISH = { ...SILENT, click: true };
const PLAYING: Playing = {
  kind: 'playing',
  legs: [{ kind: 'play', atMs: 10_000, pass: 1, visit: 0, tempo: 120 }],
  lastPass: 3,
};

/** A speaker that is heard 80 ms late, whose clock moves in blocks and can run fast, on a time that the test moves. */
class Speaker implements Output {
  readonly silent = false;
  nowMs = 0;
  laid: SoundEvent[] = [];
  private tick: () => void = () => undefined;

  constructor(
    private readonly random: () => number,
    private readonly fast = 0,
  ) {}

  now() {
    return (this.nowMs * (1 + this.fast)) / 1000 + 7;
  }
  heard() {
    return this.now() - 0.08 - 0.008 * (this.random() - 0.5);
  }
  /** When an event is heard, in server ms. */
  heardAt({ at }: SoundEvent) {
    return ((at - 7 + 0.08) * 1000) / (1 + this.fast);
  }
  play(events: readonly SoundEvent[]) {
    this.laid.push(...events);
  }
  forget(from: number) {
    this.laid = this.laid.filter(({ at }) => at < from);
  }
  setMix() {
    // it has no levels
  }
  stop() {
    this.laid = this.laid.filter(({ at }) => at < this.now());
  }
  onTick(tick: () => void) {
    this.tick = tick;
  }
  run(untilMs: number) {
    for (; this.nowMs < untilMs; this.nowMs += 200) this.tick();
  }
}

const heardBy = (speaker: Speaker) => speaker.laid.map((event) => speaker.heardAt(event));

describe('sound on the shared clock', () => {
  // The limit: clicks within 10 ms on the shared clock.
  test.each([0, 50e-6, -50e-6])(
    'every click is heard within 10 ms of its beat, with an audio clock that is %d fast',
    (fast) => {
      const speaker = new Speaker(seeded(1), fast);
      const follower = new Follower(speaker, () => speaker.nowMs, music, WISH);
      follower.follow(PLAYING, music, WISH);
      speaker.run(60_000);
      const heard = heardBy(speaker);
      expect(heard.length).toBeGreaterThan(100);
      for (const [i, atMs] of heard.entries())
        expect(Math.abs(atMs - (8000 + i * 500))).toBeLessThan(10);
    },
  );

  test('a new tempo forgets what was laid out after its line, and no beat is lost or doubled', () => {
    const speaker = new Speaker(seeded(2));
    const follower = new Follower(speaker, () => speaker.nowMs, music, WISH);
    follower.follow(PLAYING, music, WISH);
    speaker.run(12_000);
    follower.follow(withTempo(PLAYING, music.timeline, 12_100, 60), music, WISH);
    speaker.run(17_000);
    const heard = heardBy(speaker).map((atMs) => Math.round(atMs / 50) * 50);
    expect(heard.slice(0, 16)).toEqual([
      8000, 8500, 9000, 9500, 10_000, 10_500, 11_000, 11_500, 12_000, 12_500, 13_000, 14_000,
      15_000, 16_000, 17_000, 18_000,
    ]);
  });

  test('a stop is silent at once', () => {
    const speaker = new Speaker(seeded(3));
    const follower = new Follower(speaker, () => speaker.nowMs, music, WISH);
    follower.follow(PLAYING, music, WISH);
    speaker.run(12_000);
    follower.follow({ kind: 'stopped' }, music, WISH);
    speaker.run(20_000);
    expect(Math.max(...heardBy(speaker))).toBeLessThan(12_200);
  });

  test('a machine that slept goes on with what is due then, not in a rush', () => {
    const speaker = new Speaker(seeded(4));
    const follower = new Follower(speaker, () => speaker.nowMs, music, WISH);
    follower.follow(PLAYING, music, WISH);
    speaker.run(12_000);
    const before = speaker.laid.length;
    speaker.nowMs = 40_000;
    speaker.run(40_200);
    const after = heardBy(speaker).slice(before);
    expect(after.length).toBeGreaterThan(0);
    expect(Math.min(...after)).toBeGreaterThan(40_000);
  });
});
