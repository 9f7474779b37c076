import type { Result } from '../result';
import { fail, ok } from '../result';
import type { Meter } from '../rhythm';
import { msFromTicks } from '../rhythm';
import type { Measure, Note } from '../tab/measure';
import type { Neck } from '../tuning';
import type { Bpm, Fret, Ms } from '../units';
import type { Finger, Hold } from './hold';
import { holdCost, holdsOf } from './hold';
import type { Moment } from './moments';
import { momentsOf } from './moments';
import { IMPOSSIBLE, moveCost, shiftMs } from './move';
import type { FrettingImpossible, HardMoment, Held, Place, Shift } from './trouble';
import { hardOf, impossibleMove, noFingers } from './trouble';

export interface FingeredMoment extends Place {
  /** Where the hand lies: the index's own fret, from the capo. */
  readonly position: Fret;
  readonly notes: readonly (Note & { readonly finger: Finger })[];
}

/** What the fretting hand does: a finger for every stopped note, where the hand moves, and what is hard about it. */
export interface FrettingPath {
  readonly moments: readonly FingeredMoment[];
  readonly shifts: readonly Shift[];
  /** The hard moments, the hardest first; empty if nothing is hard. */
  readonly hard: readonly HardMoment[];
  /** Effort in mm, the sum that was made as small as can be. */
  readonly cost: number;
}

interface Step {
  readonly moment: Moment;
  readonly hold: Hold | undefined;
  readonly cost: number;
  readonly before: Step | undefined;
}

/**
 * Time from one moment to the next. Open strings and the drone in between make it longer: that is how players buy time.
 */
export function timeToMove(meter: Meter, tempo: Bpm, a: Moment, b: Moment): Ms {
  return msFromTicks(meter, tempo, b.at - a.at);
}

/** The cheapest way to each hold of the moment, given those of the moment before it. */
function layer(
  moment: Moment,
  previous: readonly Step[],
  have: (a: Moment) => Ms,
  capo: Fret,
): readonly Step[] {
  const holds = holdsOf(moment);
  if (holds.length === 0) {
    const before = cheapest(previous);
    return [{ moment, hold: undefined, cost: (before?.cost ?? 0) + IMPOSSIBLE, before }];
  }
  const [any] = previous;
  const haveMs = any ? have(any.moment) : 0;
  return holds.map((hold) => {
    const own = holdCost(moment, hold, capo);
    let best: Step = {
      moment,
      hold,
      cost: any ? Number.POSITIVE_INFINITY : own,
      before: undefined,
    };
    for (const before of previous) {
      const move = before.hold
        ? moveCost(before.moment, before.hold, moment, hold, haveMs, capo)
        : 0;
      const cost = before.cost + move + own;
      if (cost < best.cost) best = { moment, hold, cost, before };
    }
    return best;
  });
}

function cheapest(steps: readonly Step[]): Step | undefined {
  return steps.reduce<Step | undefined>(
    (best, step) => (best === undefined || step.cost < best.cost ? step : best),
    undefined,
  );
}

function stepsTo(last: Step | undefined): readonly Step[] {
  const steps: Step[] = [];
  for (let step = last; step; step = step.before) steps.push(step);
  return steps.reverse();
}

/**
 * The easiest way for the fretting hand through measures played one after the other: where the hand lies and which
 * finger stops which note, as the shortest path through all holds of all moments. Impossible (no fingers, no time at
 * this tempo) is told apart from hard: then it is a failure that says where and why.
 * Cost: moments times holds squared; a measure of eight stopped notes takes about 0.1 ms.
 * Source: optimum path paradigm, S. Sayegh, "Fingering for String Instruments with the Optimum Path Paradigm", Computer
 * Music Journal 13(3), 1989; the costs are ours (see `holdCost`, `moveCost`). Checked against all fingerings in
 * tests/property/hands/fretting.test.ts
 */
export function frettingPath(
  measures: readonly Measure[],
  neck: Neck,
  tempo: Bpm,
): Result<FrettingPath, FrettingImpossible> {
  const [first] = measures;
  if (!first) return ok({ moments: [], shifts: [], hard: [], cost: 0 });
  const { capo } = neck;
  let steps: readonly Step[] = [];
  for (const moment of momentsOf(measures))
    steps = layer(moment, steps, (a) => timeToMove(first.meter, tempo, a, moment), capo);
  const last = cheapest(steps);
  const path = stepsTo(last);
  const problems: FrettingImpossible[] = [];
  const shifts: Shift[] = [];
  for (const { moment, hold, before } of path) {
    if (!hold) problems.push(noFingers(moment));
    if (!hold || !before?.hold) continue;
    const { measure, stroke } = moment;
    const haveMs = timeToMove(first.meter, tempo, before.moment, moment);
    const needMs = shiftMs(before.hold.position, hold.position, capo);
    if (moveCost(before.moment, before.hold, moment, hold, haveMs, capo) >= IMPOSSIBLE)
      problems.push(impossibleMove(before.moment, moment, haveMs, needMs));
    else if (needMs > 0 && moment.link.kind !== 'slide')
      shifts.push({
        measure,
        stroke,
        from: before.hold.position,
        to: hold.position,
        haveMs,
        needMs,
      });
  }
  if (problems.length > 0) return fail(...problems);
  return ok({
    moments: path.flatMap(fingered),
    shifts,
    hard: hardOf(path.flatMap(held), shifts, capo),
    cost: last?.cost ?? 0,
  });
}

function fingered({ moment, hold }: Step): readonly FingeredMoment[] {
  if (!hold) return [];
  const { measure, stroke, stopped } = moment;
  const notes = stopped.flatMap((note, i) => {
    const finger = hold.fingers[i];
    return finger === undefined ? [] : [{ ...note, finger }];
  });
  return [{ measure, stroke, position: hold.position, notes }];
}

function held({ moment, hold }: Step): readonly Held[] {
  return hold ? [{ moment, hold }] : [];
}

/** The fingers of each stroke that stops strings, by the stroke's index in its measure, in the order of its notes. */
export function fingersByStroke(
  path: FrettingPath,
  measure = 0,
): ReadonlyMap<number, readonly Finger[]> {
  return new Map(
    path.moments
      .filter((moment) => moment.measure === measure)
      .map(({ stroke, notes }) => [stroke, notes.map(({ finger }) => finger)]),
  );
}
