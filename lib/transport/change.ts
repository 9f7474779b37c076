import { msFromTicks } from '../rhythm';
import type { Bpm, Ms } from '../units';
import type { Round } from './place';
import { legAt, nextRound, positionAt, roundAt } from './place';
import type { Timeline } from './timeline';
import { countInTicks } from './timeline';
import type { Leg, Playing, Ramp, Transport } from './transport';

/** Between pressing start and the first count, so that the word reaches everybody. Ours: three times the longest way that is aimed at. */
const START_LEAD_MS: Ms = 600;
/** A change comes at a measure line that is at least so far away, so that the word reaches everybody before it. Ours. */
const CHANGE_LEAD_MS: Ms = 400;
/** Two times that are nearer than this are one line. */
const ROUNDING: Ms = 0.5;

/** The leg, begun anew with a count-in that starts soon after `nowMs`. */
function countedIn(timeline: Timeline, nowMs: Ms, leg: Leg): Leg {
  const { visit, tempo } = leg;
  const countMs = msFromTicks(timeline.meter, tempo, countInTicks(timeline, visit));
  return { ...leg, kind: 'play', atMs: Math.round(nowMs + START_LEAD_MS + countMs) };
}

/** The transport for a start pressed at server time `nowMs`. */
export function startedAt(
  timeline: Timeline,
  nowMs: Ms,
  tempo: Bpm,
  fromPass: number,
  lastPass: number,
): Playing {
  const leg: Leg = { kind: 'play', atMs: nowMs, pass: fromPass, visit: 0, tempo };
  return { kind: 'playing', legs: [countedIn(timeline, nowMs, leg)], lastPass };
}

function without(leg: Leg, key: 'ramp' | 'repeats'): Leg {
  const { [key]: _, ...rest } = leg;
  return rest;
}

/** Legs that are not over at `nowMs` and begin before `atMs`. */
function legsUntil({ legs }: Playing, nowMs: Ms, atMs: Ms): readonly Leg[] {
  const active = legAt(legs, nowMs);
  const first = active ? legs.indexOf(active) : 0;
  return legs.slice(first).filter((leg) => leg.atMs < atMs - ROUNDING);
}

function legsAfter({ legs }: Playing, atMs: Ms): readonly Leg[] {
  return legs.filter((leg) => leg.atMs > atMs + ROUNDING);
}

/** Measure lines of what is played soon after `nowMs`, each as the leg that goes on from there. */
interface Lines {
  /** The line of that measure itself. */
  readonly here: Leg;
  readonly next: Leg;
  /** The end of the pass. */
  readonly end: Leg;
}

/** Undefined when nothing is played soon after `nowMs`. */
function linesAround(playing: Playing, timeline: Timeline, nowMs: Ms): Lines | undefined {
  const soon = nowMs + CHANGE_LEAD_MS;
  const position = positionAt(playing, timeline, soon);
  const leg = legAt(playing.legs, soon);
  if (position.kind !== 'playing' || !leg) return undefined;
  const { meter, starts } = timeline;
  const lineOf = ({ pass, startMs, tempo }: Round, visit: number): Leg => {
    const atMs = startMs + msFromTicks(meter, tempo, starts[visit] ?? 0);
    return { ...leg, atMs, pass, visit, tempo };
  };
  const round = roundAt(leg, timeline, soon);
  const end = lineOf(nextRound(leg, timeline, round), 0);
  const { visit } = position;
  const next = visit + 1 < starts.length ? lineOf(round, visit + 1) : end;
  return { here: lineOf(round, visit), next, end };
}

/** What is set to come, changed from the measure that is played soon on: the beat goes on as it was. */
function changedFromHere(
  playing: Playing,
  timeline: Timeline,
  nowMs: Ms,
  change: (leg: Leg) => Leg,
): Playing {
  const here = linesAround(playing, timeline, nowMs)?.here;
  const from = here?.atMs ?? nowMs;
  const later = legsAfter(playing, from).map(change);
  if (here)
    return { ...playing, legs: [...legsUntil(playing, nowMs, from), change(here), ...later] };
  const legs = legsUntil(playing, nowMs, from + ROUNDING);
  return {
    ...playing,
    legs: [...legs.map((leg) => (leg.kind === 'rest' ? change(leg) : leg)), ...later],
  };
}

/** Without a jump that was set for the end of a pass. */
function withoutJump(playing: Playing, nowMs: Ms): Playing {
  const legs = playing.legs.filter(
    (leg, index) => index === 0 || leg.visit > 0 || leg.atMs <= nowMs + CHANGE_LEAD_MS,
  );
  return { ...playing, legs };
}

/** A foot was lifted at `nowMs`: the pass that is being played (or counted in, or waited in) is the last. */
export function withFootUp(transport: Transport, timeline: Timeline, nowMs: Ms): Transport {
  if (transport.kind === 'stopped') return transport;
  const soon = positionAt(transport, timeline, nowMs + CHANGE_LEAD_MS);
  if (soon.kind === 'stopped' || soon.kind === 'ended') return transport;
  const stay = withoutJump(transport, nowMs);
  const changed = changedFromHere(stay, timeline, nowMs, (leg) => without(leg, 'repeats'));
  return { ...changed, lastPass: soon.pass };
}

/** The foot is down again: everybody goes on to `lastPass`. */
export function withFootDown(transport: Transport, lastPass: number): Transport {
  return transport.kind === 'stopped' ? transport : { ...transport, lastPass };
}

/** Everybody stops at the next measure line and waits there. What was set for later is off, but for a lifted foot. */
export function withPause(transport: Transport, timeline: Timeline, nowMs: Ms): Transport {
  if (transport.kind === 'stopped') return transport;
  const line = linesAround(transport, timeline, nowMs)?.next;
  if (!line || line.pass > transport.lastPass) return transport;
  const before = legsUntil(transport, nowMs, line.atMs);
  return { ...transport, legs: [...before, { ...line, kind: 'rest' }] };
}

/** Everybody who waits is counted in again, and goes on with the measure that they stopped before. */
export function withGoOn(transport: Transport, timeline: Timeline, nowMs: Ms): Transport {
  if (transport.kind === 'stopped') return transport;
  const rest = legAt(transport.legs, nowMs + CHANGE_LEAD_MS);
  if (rest?.kind !== 'rest') return transport;
  return { ...transport, legs: [countedIn(timeline, nowMs, rest)] };
}

/**
 * Another tempo, from the next measure line on; while it is waited, from when it goes on; in a count-in, with a count of its own.
 * What was set for later stays set for the same place in the music, and a ramp ends.
 */
export function withTempo(
  transport: Transport,
  timeline: Timeline,
  nowMs: Ms,
  tempo: Bpm,
): Transport {
  if (transport.kind === 'stopped') return transport;
  const paced = (leg: Leg): Leg => ({ ...without(leg, 'ramp'), tempo });
  const [first] = transport.legs;
  if (first && !legAt(transport.legs, nowMs))
    return { ...transport, legs: [countedIn(timeline, nowMs, paced(first))] };
  const line = linesAround(transport, timeline, nowMs)?.next;
  if (!line) {
    const legs = transport.legs.map((leg) => (leg.kind === 'rest' ? paced(leg) : leg));
    return { ...transport, legs };
  }
  const isLine = ({ atMs }: Leg) => Math.abs(atMs - line.atMs) <= ROUNDING;
  const changed = paced(transport.legs.find(isLine) ?? line);
  const later = legsAfter(transport, line.atMs).map((leg) => {
    const atMs = line.atMs + ((leg.atMs - line.atMs) * line.tempo) / tempo;
    return { ...paced(leg), atMs };
  });
  return { ...transport, legs: [...legsUntil(transport, nowMs, line.atMs), changed, ...later] };
}

/** At the end of this pass comes `pass`; where it is still counted in, or waited, it comes at once. */
export function withJump(
  transport: Transport,
  timeline: Timeline,
  nowMs: Ms,
  pass: number,
): Transport {
  if (transport.kind === 'stopped') return transport;
  const lastPass = Math.max(transport.lastPass, pass);
  const to = (leg: Leg): Leg => ({ ...without(leg, 'repeats'), pass, visit: 0 });
  const end = linesAround(transport, timeline, nowMs)?.end;
  if (end) {
    const legs = legsUntil(transport, nowMs, end.atMs);
    return { ...transport, lastPass, legs: [...legs, to(end)] };
  }
  const [first] = transport.legs;
  const soon = legAt(transport.legs, nowMs + CHANGE_LEAD_MS);
  if (first && !soon)
    return { ...transport, lastPass, legs: [countedIn(timeline, nowMs, to(first))] };
  if (soon?.kind !== 'rest') return transport;
  return { ...transport, lastPass, legs: [...legsUntil(transport, nowMs, soon.atMs), to(soon)] };
}

/** This pass again and again, or no longer. A jump that was set is off. */
export function withRepeat(
  transport: Transport,
  timeline: Timeline,
  nowMs: Ms,
  repeats: boolean,
): Transport {
  if (transport.kind === 'stopped') return transport;
  return changedFromHere(withoutJump(transport, nowMs), timeline, nowMs, (leg) =>
    repeats ? { ...leg, repeats } : without(leg, 'repeats'),
  );
}

/** From the next pass on the tempo changes with every pass, or no longer. */
export function withRamp(
  transport: Transport,
  timeline: Timeline,
  nowMs: Ms,
  ramp: Ramp | undefined,
): Transport {
  if (transport.kind === 'stopped') return transport;
  return changedFromHere(transport, timeline, nowMs, (leg) =>
    ramp ? { ...leg, ramp } : without(leg, 'ramp'),
  );
}
