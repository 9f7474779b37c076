import { msFromTicks } from '../rhythm';
import type { Bpm, Ms, Ticks } from '../units';
import type { Timeline } from './timeline';
import { countInTicks } from './timeline';
import type { Leg, Playing, Position, Transport } from './transport';

/** Rounding of a place in a pass, in ticks: a measure begins at its line, not a billionth after it. */
const ROUNDING: Ticks = 1e-6;

/** Is anybody counting, playing or waiting? */
export function isUnderWay(
  position: Position,
): position is Exclude<Position, { kind: 'stopped' | 'ended' }> {
  return position.kind !== 'stopped' && position.kind !== 'ended';
}

/** One time through the tune. */
export interface Round {
  readonly pass: number;
  /** When its first measure begins, or would have begun at this tempo where the leg starts inside the pass. */
  readonly startMs: Ms;
  readonly tempo: Bpm;
}

/** Length of a pass at a tempo. */
function passMs({ meter, total }: Timeline, tempo: Bpm): Ms {
  return msFromTicks(meter, tempo, total);
}

function rampedTempo({ ramp }: Leg, tempo: Bpm): Bpm {
  if (!ramp) return tempo;
  const next = tempo + ramp.step;
  if (ramp.step > 0) return Math.max(tempo, Math.min(next, ramp.to));
  return Math.min(tempo, Math.max(next, ramp.to));
}

/** The first round of a leg. */
export function firstRound(leg: Leg, { meter, starts }: Timeline): Round {
  const { atMs, pass, tempo, visit } = leg;
  return { pass, startMs: atMs - msFromTicks(meter, tempo, starts[visit] ?? 0), tempo };
}

export function nextRound(leg: Leg, timeline: Timeline, round: Round): Round {
  return {
    pass: leg.repeats ? round.pass : round.pass + 1,
    startMs: round.startMs + passMs(timeline, round.tempo),
    tempo: rampedTempo(leg, round.tempo),
  };
}

/** The round of a leg that a time falls into; the first for any time before it. Cost: steps of the ramp, at most. */
export function roundAt(leg: Leg, timeline: Timeline, nowMs: Ms): Round {
  let round = firstRound(leg, timeline);
  for (;;) {
    const next = nextRound(leg, timeline, round);
    if (nowMs < next.startMs) return round;
    round = next;
    if (rampedTempo(leg, round.tempo) === round.tempo) break;
  }
  const length = passMs(timeline, round.tempo);
  const more = Math.max(0, Math.floor((nowMs - round.startMs) / length));
  const pass = leg.repeats ? round.pass : round.pass + more;
  return { pass, startMs: round.startMs + more * length, tempo: round.tempo };
}

/** The index of the measure that a place in the pass falls into. */
function visitAt(starts: readonly Ticks[], ticks: Ticks): number {
  let low = 0;
  let high = starts.length - 1;
  while (low < high) {
    const middle = Math.ceil((low + high) / 2);
    if ((starts[middle] ?? 0) <= ticks + ROUNDING) low = middle;
    else high = middle - 1;
  }
  return low;
}

/** The leg that is played (or waited in) at a time; undefined in the count-in before the first. */
export function legAt(legs: readonly Leg[], nowMs: Ms): Leg | undefined {
  return legs.findLast((leg) => leg.atMs <= nowMs);
}

function countingTo(leg: Leg, timeline: Timeline, nowMs: Ms): Position {
  const { meter } = timeline;
  const count = countInTicks(timeline, leg.visit) / meter.beat;
  const counted = count - (leg.atMs - nowMs) / msFromTicks(meter, leg.tempo, meter.beat);
  const of = Math.ceil(count);
  const beat = Math.min(of, Math.max(1, Math.floor(counted) + 1));
  return { kind: 'counting', beat, of, untilMs: leg.atMs, pass: leg.pass, visit: leg.visit };
}

function positionInLeg({ lastPass }: Playing, leg: Leg, timeline: Timeline, nowMs: Ms): Position {
  const { meter, starts, offsets } = timeline;
  const { pass, startMs, tempo } = roundAt(leg, timeline, nowMs);
  if (pass > lastPass) return { kind: 'ended', pass: lastPass };
  const inPass = ((nowMs - startMs) / msFromTicks(meter, tempo, meter.beat)) * meter.beat;
  const visit = visitAt(starts, inPass);
  const ticks = Math.max(0, inPass - (starts[visit] ?? 0));
  const slot = Math.floor((ticks + ROUNDING + (offsets[visit] ?? 0)) / meter.slot);
  const passEndMs = startMs + passMs(timeline, tempo);
  return { kind: 'playing', pass, visit, slot, ticks, tempo, passEndMs };
}

/**
 * Where everybody is at a server time: the same on server and client. A pass whose timeline is empty is 'stopped'.
 * @param nowMs server time
 */
export function positionAt(transport: Transport, timeline: Timeline, nowMs: Ms): Position {
  if (transport.kind === 'stopped' || timeline.total <= 0) return { kind: 'stopped' };
  const [first] = transport.legs;
  if (!first) return { kind: 'stopped' };
  const leg = legAt(transport.legs, nowMs);
  if (!leg) return countingTo(first, timeline, nowMs);
  if (leg.kind === 'rest') return { kind: 'paused', pass: leg.pass, visit: leg.visit };
  return positionInLeg(transport, leg, timeline, nowMs);
}
