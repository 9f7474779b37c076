import * as v from 'valibot';
import { MAX_PASSES } from '../../lib/passes/limits';
import { MAX_PLAYED } from '../../lib/structure/layout';

/** The shape of what is set going. By itself, since pages that only follow read this and nothing else of a board. */

/** Slowest and fastest tempo in beats a minute. Common practice: dances reach 125; workshops start near 50. */
export const MIN_TEMPO = 20;
export const MAX_TEMPO = 240;

/** The latest and the earliest moment that a date can be, ms. Source: ECMA-262, "Time Values and Time Range". */
const MAX_MOMENT = 8.64e15;
/** Server ms. Beyond what a date can be, a second more is no longer another time, and whoever counts in seconds never ends. */
export const moment = v.pipe(v.number(), v.minValue(-MAX_MOMENT), v.maxValue(MAX_MOMENT));

const whole = (low: number, high: number) =>
  v.pipe(v.number(), v.integer(), v.minValue(low), v.maxValue(high));

const tempo = v.pipe(v.number(), v.minValue(MIN_TEMPO), v.maxValue(MAX_TEMPO));
/** Beats a minute more or less with every pass: not so few that the way to the last tempo is endless. */
const step = v.pipe(
  v.number(),
  v.finite(),
  v.check((bpm) => Math.abs(bpm) >= 0.5),
);
const leg = v.object({
  kind: v.picklist(['play', 'rest']),
  atMs: moment,
  pass: whole(1, MAX_PASSES),
  visit: whole(0, MAX_PLAYED - 1),
  tempo,
  ramp: v.exactOptional(v.object({ step, to: tempo })),
  repeats: v.exactOptional(v.boolean()),
});

export const transportValue = v.variant('kind', [
  v.object({ kind: v.literal('stopped') }),
  v.object({
    kind: v.literal('playing'),
    legs: v.pipe(
      v.array(leg),
      v.minLength(1),
      v.maxLength(8),
      v.check(
        (legs) => legs.every((each, i) => i === 0 || each.atMs >= (legs[i - 1]?.atMs ?? 0)),
        'its legs are not in order of time',
      ),
    ),
    lastPass: whole(1, MAX_PASSES),
    played: v.exactOptional(v.pipe(v.string(), v.regex(/^[0-9a-f]{16}$/))),
  }),
]);
