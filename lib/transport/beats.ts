import { msFromTicks } from '../rhythm';
import type { Bpm, Ms } from '../units';
import { firstRound, nextRound, roundAt } from './place';
import type { Timeline } from './timeline';
import { countInTicks } from './timeline';
import type { Leg, Playing, Transport } from './transport';

/** A measure of a pass as it is played. */
export interface TimedVisit {
  readonly pass: number;
  /** Index in the pass's playing order. */
  readonly visit: number;
  readonly atMs: Ms;
  readonly endMs: Ms;
  readonly tempo: Bpm;
}

/** A beat to be heard. */
export interface Beat {
  readonly atMs: Ms;
  /** The first of a measure. */
  readonly accent: boolean;
  /** Before the music begins. */
  readonly counted: boolean;
}

/** Rounding of a time: legs and measures that meet, meet. */
const ROUNDING: Ms = 0.01;

/** Measures of a leg, until it ends at `untilMs`, that are played at some time in [fromMs, toMs). */
function legVisits(
  { lastPass }: Playing,
  leg: Leg,
  timeline: Timeline,
  untilMs: Ms,
  fromMs: Ms,
  toMs: Ms,
): readonly TimedVisit[] {
  const { meter, starts, total } = timeline;
  const end = Math.min(untilMs - ROUNDING, toMs);
  const visits: TimedVisit[] = [];
  const first = firstRound(leg, timeline);
  let round = fromMs < leg.atMs ? first : roundAt(leg, timeline, fromMs);
  while (round.startMs < end && round.pass <= lastPass) {
    const { pass, startMs, tempo } = round;
    for (const [visit, start] of starts.entries()) {
      const atMs = startMs + msFromTicks(meter, tempo, start);
      const endMs = startMs + msFromTicks(meter, tempo, starts[visit + 1] ?? total);
      if (atMs < end && endMs > fromMs && atMs >= leg.atMs - ROUNDING)
        visits.push({ pass, visit, atMs, endMs, tempo });
    }
    round = nextRound(leg, timeline, round);
  }
  return visits;
}

/** The measures that are played at some time in [fromMs, toMs), in order. */
export function visitsBetween(
  transport: Transport,
  timeline: Timeline,
  fromMs: Ms,
  toMs: Ms,
): readonly TimedVisit[] {
  if (transport.kind === 'stopped' || timeline.total <= 0) return [];
  const { legs } = transport;
  return legs.flatMap((leg, index) => {
    const untilMs = legs[index + 1]?.atMs ?? Number.POSITIVE_INFINITY;
    if (leg.kind === 'rest' || untilMs <= fromMs || leg.atMs >= toMs) return [];
    return legVisits(transport, leg, timeline, untilMs, fromMs, toMs);
  });
}

/** The beats before the first leg. */
function counted(leg: Leg, timeline: Timeline): readonly Beat[] {
  const { meter } = timeline;
  const beatMs = msFromTicks(meter, leg.tempo, meter.beat);
  const perMeasure = meter.measure / meter.beat;
  const count = countInTicks(timeline, leg.visit) / meter.beat;
  return Array.from({ length: Math.ceil(count) }, (_, beat) => ({
    atMs: leg.atMs + (beat - count) * beatMs,
    accent: beat % perMeasure === 0,
    counted: true,
  }));
}

/** Beats of one measure, counted from its bar line. */
function visitBeats(timeline: Timeline, { visit, atMs, endMs, tempo }: TimedVisit): Beat[] {
  const { meter, offsets } = timeline;
  const offset = offsets[visit] ?? 0;
  const beats: Beat[] = [];
  for (let inBar = 0; inBar < meter.measure; inBar += meter.beat) {
    const beatMs = atMs + msFromTicks(meter, tempo, inBar - offset);
    if (inBar >= offset && beatMs < endMs - ROUNDING)
      beats.push({ atMs: beatMs, accent: inBar === 0, counted: false });
  }
  return beats;
}

/** The beats of the count-in and of the passes that fall into [fromMs, toMs), in order. */
export function beatsBetween(
  transport: Transport,
  timeline: Timeline,
  fromMs: Ms,
  toMs: Ms,
): readonly Beat[] {
  if (transport.kind === 'stopped' || timeline.total <= 0) return [];
  const [first] = transport.legs;
  const count = first?.kind === 'play' ? counted(first, timeline) : [];
  const played = visitsBetween(transport, timeline, fromMs, toMs);
  return [...count, ...played.flatMap((visit) => visitBeats(timeline, visit))].filter(
    ({ atMs }) => atMs >= fromMs && atMs < toMs,
  );
}
