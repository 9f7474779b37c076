import { describe, expect, test } from 'vitest';
import type { Music } from '../../../../app/_islands/play/heard';
import { heardBetween } from '../../../../app/_islands/play/heard';
import type { Wish } from '../../../../app/_islands/play/wish';
import { SILENT } from '../../../../app/_islands/play/wish';
import { withPause, withTempo } from '../../../../lib/transport/change';
import type { Playing } from '../../../../lib/transport/transport';
import { timelineOf } from '../../../../lib/tune';
import type { BoardId } from '../../../../lib/units';
import { demoDocuments } from '../../../../shared/board/demo';
import { readBoard } from '../../../../shared/board/read';
import type { Played } from '../../../../shared/board/schema';

const demo = readBoard('demo' as BoardId, demoDocuments());
if (!demo) throw new Error('the demo board cannot be read');
const played: Played = { tune: demo.tune, plan: { passes: [{}], variants: {} } };
const music: Music = { played, timeline: timelineOf(demo.tune) };
/** The demo tune is in cut time: at 60 beats a minute a measure takes 2 s, and the count 4 s. */
const PLAYING: Playing = {
  kind: 'playing',
  legs: [{ kind: 'play', atMs: 100_000, pass: 1, visit: 0, tempo: 60 }],
  lastPass: 3,
};

const heard = (wish: Partial<Wish>, fromMs: number, toMs: number, transport = PLAYING) =>
  heardBetween(music, transport, { ...SILENT, ...wish }, fromMs, toMs);

const clicks = (wish: Partial<Wish>, fromMs: number, toMs: number) =>
  heard(wish, fromMs, toMs)
    .filter(({ event }) => event.kind === 'click')
    .map(({ atMs }) => atMs);

describe('what a person hears', () => {
  test('a click on every beat, and the count before it', () =>
    expect(clicks({ click: true }, 0, 103_000)).toEqual([
      96_000, 97_000, 98_000, 99_000, 100_000, 101_000, 102_000,
    ]));

  test('a count without a click falls silent with the music', () =>
    expect(clicks({ music: 'plain' }, 0, 110_000)).toEqual([96_000, 97_000, 98_000, 99_000]));

  test('nothing before the music for who wants nothing', () =>
    expect(heard({ music: 'plain', lead: 'none' }, 0, 100_000)).toEqual([]));

  test('four potatoes end where the music begins: long, short, short', () => {
    const potatoes = heard({ music: 'plain', lead: 'potatoes' }, 0, 100_000);
    expect(potatoes.map(({ atMs }) => Math.round(atMs))).toEqual(
      [96_000, 97_000, 98_000, 99_000].flatMap((at) => [at, at + 500, at + 750]),
    );
    expect(new Set(potatoes.map(({ event }) => event.kind))).toEqual(new Set(['pluck']));
  });

  test('the strokes of the tune at their slots: the first one with the first beat', () => {
    const strokes = heard({ music: 'plain' }, 100_000, 102_000);
    expect(strokes[0]?.atMs).toBe(100_000);
    // 250 ms a slot; a brush takes some milliseconds from string to string.
    for (const { atMs } of strokes) expect((atMs - 100_000) % 250).toBeLessThan(30);
    expect(strokes.length).toBeGreaterThan(4);
  });

  test('windows side by side lose nothing and double nothing', () => {
    const whole = heard({ music: 'plain', click: true }, 95_000, 130_000);
    const pieces = [];
    for (let from = 95_000; from < 130_000; from += 700)
      pieces.push(...heard({ music: 'plain', click: true }, from, Math.min(from + 700, 130_000)));
    expect(pieces).toEqual(whole);
  });

  test('a new tempo is heard from its line on, and nothing while it is waited', () => {
    const faster = withTempo(PLAYING, music.timeline, 100_500, 120);
    const beats = heardBetween(music, faster, { ...SILENT, click: true }, 100_000, 103_600).map(
      ({ atMs }) => atMs,
    );
    expect(beats).toEqual([100_000, 101_000, 102_000, 102_500, 103_000, 103_500]);
    const waiting = withPause(PLAYING, music.timeline, 100_500);
    expect(
      heardBetween(music, waiting, { ...SILENT, click: true, music: 'plain' }, 102_000, 200_000),
    ).toEqual([]);
  });

  test('a pass sounds as it is agreed, the plain tune as it was', () => {
    const [variant] = demo.variants;
    if (!variant) throw new Error('the demo has no variant');
    const plan = {
      passes: [{ [variant.measure]: variant.id }],
      variants: { [variant.id]: { ...variant, by: '' } },
    };
    const agreed: Music = { ...music, played: { ...played, plan } };
    const sounds = (wish: Wish['music']) =>
      heardBetween(agreed, PLAYING, { ...SILENT, music: wish }, 100_000, 164_000);
    expect(sounds('pass')).not.toEqual(sounds('plain'));
    expect(sounds('plain')).toEqual(heard({ music: 'plain' }, 100_000, 164_000));
  });
});
