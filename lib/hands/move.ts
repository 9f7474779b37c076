import type { Note } from '../tab/measure';
import type { Fret, Ms } from '../units';
import type { Finger, Hold } from './hold';
import type { Moment } from './moments';
import { mmBetween } from './neck-distance';

/**
 * Time for the note that is left to be heard, for letting go and for landing; and speed of the hand along the neck.
 * Source: our estimates, common practice, no source. Set so that a move inside half a beat at dance tempo (273 ms at
 * 110) is hard and one inside a slot is out.
 */
const LEAVE_AND_LAND_MS = 120;
const MM_PER_MS = 1;
/**
 * Effort in mm: a finger that goes from one note to another, and a slide, in which the string leads the hand.
 * Source: our estimates.
 */
const HOP_MM = 5;
const SLIDE_PART = 0.25;
/** Added for a move that no hand can make, so that a path has as few of them as can be. More than any path costs. */
export const IMPOSSIBLE = 1e6;

/**
 * How long from one note to the next if the hand moves in between from one position to another. Positions count from the
 * capo.
 */
export function shiftMs(from: Fret, to: Fret, capo: Fret): Ms {
  return from === to ? 0 : LEAVE_AND_LAND_MS + mmBetween(from + capo, to + capo) / MM_PER_MS;
}

function fingerOn(moment: Moment, hold: Hold, string: number): Finger | undefined {
  return hold.fingers[moment.stopped.findIndex((note) => note.string === string)];
}

/** The finger that already stopped this note in a hold, if one did. */
function fingerAlready(moment: Moment, hold: Hold, note: Note): Finger | undefined {
  for (const [i, { string, fret }] of moment.stopped.entries())
    if (string === note.string && fret === note.fret) return hold.fingers[i];
  return undefined;
}

/** Does the finger go on stopping a note that it stopped before? One that lies flat over more strings does. */
function stays(a: Moment, from: Hold, b: Moment, to: Hold, finger: Finger): boolean {
  return b.stopped.some(
    (note, i) => to.fingers[i] === finger && fingerAlready(a, from, note) === finger,
  );
}

/** Notes of `b` that one finger takes over from another, or for which a finger leaves its note. */
function hops(a: Moment, from: Hold, b: Moment, to: Hold): number {
  let count = 0;
  for (const [i, note] of b.stopped.entries()) {
    const finger = to.fingers[i];
    if (finger === undefined) continue;
    const before = fingerAlready(a, from, note);
    const leaves = before === undefined && from.fingers.includes(finger);
    if (before === undefined ? leaves && !stays(a, from, b, to, finger) : before !== finger)
      count += 1;
  }
  return count;
}

/** Does the link between two moments hold: hammer and pull under one hand, a slide with one finger? */
function keepsLink(a: Moment, from: Hold, b: Moment, to: Hold): boolean {
  const { link } = b;
  if (link.kind === 'free') return true;
  const before = fingerOn(a, from, link.string);
  const after = fingerOn(b, to, link.string);
  if (before === undefined || after === undefined) return false;
  switch (link.kind) {
    case 'slide':
      return before === after && to.position - from.position === link.to - link.from;
    case 'hammer':
      return from.position === to.position && after > before;
    case 'pull':
      return from.position === to.position && after < before && !from.fingers.includes(after);
  }
}

/**
 * What it costs to come from one hold to the next, in mm of effort: the way along the neck, dearer the less time there
 * is, and the fingers that change their note. `IMPOSSIBLE` is added where no hand can do it.
 * @param haveMs time from the one moment to the other
 */
export function moveCost(
  a: Moment,
  from: Hold,
  b: Moment,
  to: Hold,
  haveMs: Ms,
  capo: Fret,
): number {
  const way =
    from.position === to.position ? 0 : mmBetween(from.position + capo, to.position + capo);
  const kept = keepsLink(a, from, b, to);
  if (b.link.kind === 'slide' && kept) return way * SLIDE_PART;
  const need = shiftMs(from.position, to.position, capo);
  const late = need > haveMs;
  const haste = need === 0 || late ? 0 : need / haveMs;
  return way * (1 + haste) + hops(a, from, b, to) * HOP_MM + (kept && !late ? 0 : IMPOSSIBLE);
}
