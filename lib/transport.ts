import type { Meter } from './rhythm';
import { msFromTicks } from './rhythm';
import type { Bpm, Ms, Ticks } from './units';

/** What the leader has set going. Times of day are server milliseconds; passes count from 1. */
export type Transport =
  | { readonly kind: 'stopped' }
  | {
      readonly kind: 'playing';
      /** When the first measure of `fromPass` begins; the count-in lies before it. */
      readonly startMs: Ms;
      readonly tempo: Bpm;
      readonly fromPass: number;
      /** The pass at whose end everybody finishes; a lifted foot brings it forward. */
      readonly lastPass: number;
    };

/** One pass laid out in time: what `positionAt` needs of the tune. */
export interface Timeline {
  readonly meter: Meter;
  /** Where each measure of a pass starts, ascending from 0, in playing order. */
  readonly starts: readonly Ticks[];
  /** Where in its bar each measure starts: not 0 for a pickup. */
  readonly offsets: readonly Ticks[];
  /** Length of a pass. */
  readonly total: Ticks;
}

export type Position =
  | { readonly kind: 'stopped' }
  | {
      readonly kind: 'counting';
      /** The beat that is being counted, from 1 to `of`. */
      readonly beat: number;
      readonly of: number;
      readonly untilMs: Ms;
    }
  | {
      readonly kind: 'playing';
      readonly pass: number;
      /** Index in the pass's playing order. */
      readonly visit: number;
      /** Slot in the bar, whole, from 0. */
      readonly slot: number;
      /** Ticks since the start of this measure, not whole. */
      readonly ticks: number;
      /** When this pass ends. */
      readonly passEndMs: Ms;
    }
  | { readonly kind: 'ended'; readonly pass: number };

/** Two measures of count. Source: common practice, no source. */
export const COUNT_IN_MEASURES = 2;
/** Between pressing start and the first count, so that the word reaches everybody. */
export const START_LEAD_MS: Ms = 600;

/**
 * Length of the count before the first stroke of a pass: two measures, and where a pickup begins the tune, it begins inside the second
 * one, so that the bar lines of count and tune are in step. Source: common practice, no source.
 */
export function countInTicks({ meter, offsets }: Timeline): Ticks {
  const pickup = offsets[0] ?? 0;
  return pickup > 0 ? meter.measure + pickup : COUNT_IN_MEASURES * meter.measure;
}

/** The transport for a start pressed at server time `nowMs`. */
export function startedAt(
  timeline: Timeline,
  nowMs: Ms,
  tempo: Bpm,
  fromPass: number,
  lastPass: number,
): Transport {
  const countMs = msFromTicks(timeline.meter, tempo, countInTicks(timeline));
  const startMs = Math.round(nowMs + START_LEAD_MS + countMs);
  return { kind: 'playing', startMs, tempo, fromPass, lastPass };
}

/** The index of the measure that a place in the pass falls into. */
function visitAt(starts: readonly Ticks[], ticks: number): number {
  let low = 0;
  let high = starts.length - 1;
  while (low < high) {
    const middle = Math.ceil((low + high) / 2);
    if ((starts[middle] ?? 0) <= ticks) low = middle;
    else high = middle - 1;
  }
  return low;
}

/**
 * Where everybody is at a server time: the same on server and client. A pass whose timeline is empty is 'stopped'.
 * @param nowMs server time
 */
export function positionAt(transport: Transport, timeline: Timeline, nowMs: Ms): Position {
  if (transport.kind === 'stopped' || timeline.total <= 0) return { kind: 'stopped' };
  const { startMs, tempo, fromPass, lastPass } = transport;
  const { meter } = timeline;
  const beatMs = msFromTicks(meter, tempo, meter.beat);
  if (nowMs < startMs) {
    const count = countInTicks(timeline) / meter.beat;
    const counted = count - (startMs - nowMs) / beatMs;
    const of = Math.ceil(count);
    const beat = Math.max(1, Math.floor(counted) + 1);
    return { kind: 'counting', beat, of, untilMs: startMs };
  }
  const passMs = msFromTicks(meter, tempo, timeline.total);
  const passed = Math.floor((nowMs - startMs) / passMs);
  const pass = fromPass + passed;
  if (pass > lastPass) return { kind: 'ended', pass: lastPass };
  const inPass = ((nowMs - startMs - passed * passMs) / beatMs) * meter.beat;
  const visit = visitAt(timeline.starts, inPass);
  const ticks = inPass - (timeline.starts[visit] ?? 0);
  const slot = Math.floor((ticks + (timeline.offsets[visit] ?? 0)) / meter.slot);
  return { kind: 'playing', pass, visit, slot, ticks, passEndMs: startMs + (passed + 1) * passMs };
}

/** A foot was lifted at `nowMs`: the pass that is being played (or counted in) is the last. */
export function withFootUp(transport: Transport, timeline: Timeline, nowMs: Ms): Transport {
  const position = positionAt(transport, timeline, nowMs);
  if (transport.kind === 'stopped') return transport;
  if (position.kind === 'counting') return { ...transport, lastPass: transport.fromPass };
  if (position.kind === 'playing') return { ...transport, lastPass: position.pass };
  return transport;
}

/** A beat to be heard. */
export interface Beat {
  readonly atMs: Ms;
  /** The first of a measure. */
  readonly accent: boolean;
}

/** Beats of one pass as ticks from its start: each measure's beats are counted from its bar line. */
function passBeats(
  timeline: Timeline,
): readonly { readonly ticks: Ticks; readonly accent: boolean }[] {
  const { meter, starts, offsets, total } = timeline;
  return starts.flatMap((start, visit) => {
    const offset = offsets[visit] ?? 0;
    const end = starts[visit + 1] ?? total;
    const beats: { ticks: Ticks; accent: boolean }[] = [];
    for (let inBar = 0; inBar < meter.measure; inBar += meter.beat) {
      const ticks = start + inBar - offset;
      if (inBar >= offset && ticks < end) beats.push({ ticks, accent: inBar === 0 });
    }
    return beats;
  });
}

/** The beats of the count-in and of the passes that fall into [fromMs, toMs), in order. */
export function beatsBetween(
  transport: Transport,
  timeline: Timeline,
  fromMs: Ms,
  toMs: Ms,
): readonly Beat[] {
  if (transport.kind === 'stopped' || timeline.total <= 0) return [];
  const { meter } = timeline;
  const { startMs, tempo, fromPass, lastPass } = transport;
  const beatMs = msFromTicks(meter, tempo, meter.beat);
  const within = (beat: Beat) => beat.atMs >= fromMs && beat.atMs < toMs;
  const perMeasure = meter.measure / meter.beat;
  const count = countInTicks(timeline) / meter.beat;
  const counts = Array.from({ length: Math.ceil(count) }, (_, beat) => ({
    atMs: startMs + (beat - count) * beatMs,
    accent: beat % perMeasure === 0,
  }));
  const passMs = msFromTicks(meter, tempo, timeline.total);
  const first = Math.max(0, Math.floor((fromMs - startMs) / passMs));
  const last = Math.min(lastPass - fromPass, Math.floor((toMs - startMs) / passMs));
  const beats = passBeats(timeline);
  const played: Beat[] = [];
  for (let pass = first; pass <= last; pass += 1)
    for (const { ticks, accent } of beats)
      played.push({ atMs: startMs + pass * passMs + msFromTicks(meter, tempo, ticks), accent });
  return [...counts, ...played].filter(within);
}
