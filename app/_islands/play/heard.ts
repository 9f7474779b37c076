import { pitchClassFromName } from '../../../lib/pitch';
import type { SoundEvent } from '../../../lib/sound/event';
import { leadInOf } from '../../../lib/sound/lead-in';
import { scoreOf } from '../../../lib/sound/score';
import { STRAIGHT } from '../../../lib/sound/time';
import type { Measure } from '../../../lib/tab/measure';
import { beatsBetween, visitsBetween } from '../../../lib/transport/beats';
import type { Timeline } from '../../../lib/transport/timeline';
import type { Transport } from '../../../lib/transport/transport';
import type { Tune } from '../../../lib/tune';
import { measureOf, playOrder } from '../../../lib/tune';
import type { Ms } from '../../../lib/units';
import type { Cell } from '../../../shared/board/played';
import { passOf } from '../../../shared/board/played';
import type { Played } from '../../../shared/board/schema';
import type { Wish } from './wish';

/** What is played from, by everybody. */
export interface Music {
  /** Its notes; absent until they have come, and then the beat is there all the same. */
  readonly played?: Played;
  readonly timeline: Timeline;
}

/** Something that is heard at a server time; `at` of the event means nothing. */
export interface HeardEvent {
  readonly atMs: Ms;
  readonly event: SoundEvent;
}

/** A measure of a pass as this person hears it. */
function measureHeard(tune: Tune, cell: Cell | undefined, { music }: Wish): Measure | undefined {
  if (!cell) return undefined;
  const { visit, variant } = cell;
  return measureOf(tune.meter, visit.measure, music === 'pass' ? variant?.strokes : undefined);
}

function strokesBetween(
  { played, timeline }: Music,
  transport: Transport,
  wish: Wish,
  fromMs: Ms,
  toMs: Ms,
): readonly HeardEvent[] {
  if (!played) return [];
  const { tune } = played;
  return visitsBetween(transport, timeline, fromMs, toMs).flatMap((timed) => {
    const { pass, visit, atMs, tempo } = timed;
    const cells = passOf(played, pass);
    const here = measureHeard(tune, cells[visit], wish);
    if (!here) return [];
    // The measure before says which strings sound when this one begins.
    const before = measureHeard(tune, cells[visit - 1], wish);
    const { events, measures } = scoreOf({
      measures: before ? [before, here] : [here],
      neck: tune.neck,
      tempo,
    });
    const start = measures.at(-1) ?? 0;
    return events
      .filter(({ at }) => at >= start)
      .map((event) => ({ atMs: atMs + (event.at - start) * 1000, event }));
  });
}

function clicksBetween(
  { timeline }: Music,
  transport: Transport,
  { click, lead }: Wish,
  fromMs: Ms,
  toMs: Ms,
): readonly HeardEvent[] {
  return beatsBetween(transport, timeline, fromMs, toMs)
    .filter(({ counted }) => (counted ? lead === 'count' : click))
    .map(({ atMs, accent }) => ({ atMs, event: { kind: 'click', at: 0, accent } }));
}

function potatoes({ played }: Music, transport: Transport, { lead }: Wish): readonly HeardEvent[] {
  const [leg] = transport.kind === 'playing' ? transport.legs : [];
  if (lead !== 'potatoes' || leg?.kind !== 'play' || !played) return [];
  const { tune } = played;
  const visit = playOrder(tune)[leg.visit];
  if (!visit) return [];
  const first = measureOf(tune.meter, visit.measure);
  const tonic = pitchClassFromName(tune.key.tonic) ?? 0;
  const pace = { tempo: leg.tempo, swing: STRAIGHT };
  const { events, seconds } = leadInOf({ kind: 'potatoes', tonic }, first, tune.neck, pace);
  return events.map((event) => ({ atMs: leg.atMs + (event.at - seconds) * 1000, event }));
}

/** Everything that a person hears in [fromMs, toMs) of server time, in order. */
export function heardBetween(
  music: Music,
  transport: Transport,
  wish: Wish,
  fromMs: Ms,
  toMs: Ms,
): readonly HeardEvent[] {
  const strokes = wish.music === 'none' ? [] : strokesBetween(music, transport, wish, fromMs, toMs);
  return [
    ...clicksBetween(music, transport, wish, fromMs, toMs),
    ...potatoes(music, transport, wish),
    ...strokes,
  ]
    .filter(({ atMs }) => atMs >= fromMs && atMs < toMs)
    .sort((a, b) => a.atMs - b.atMs);
}
