import type { Rational } from '../rational';
import {
  divide,
  floor,
  multiply,
  rational,
  rationalFromNumber,
  subtract,
  toNumber,
} from '../rational';
import { countInTicks } from '../transport/timeline';
import type { Tune } from '../tune';
import { passTicks, timelineOf } from '../tune';
import type { Bpm, Ms, Ticks } from '../units';

/** One long run through a tune, from the first count to the end. */
export interface Run {
  readonly tune: Pick<Tune, 'parts' | 'form' | 'meter'>;
  readonly tempo: Bpm;
  /** What is played after the last pass (a tag, a last chord); 0 unless given: everybody finishes at the end of the pass. */
  readonly endingTicks?: Ticks;
}

const MS_PER_MINUTE = 60_000;

/** Ticks that are played or counted once in a run, however many passes it has. */
function onceTicks({ tune, endingTicks = 0 }: Run): Ticks {
  return countInTicks(timelineOf(tune)) + endingTicks;
}

/** Ticks in a millisecond at the run's tempo. */
function ticksPerMs({ tune, tempo }: Run): Rational {
  if (!(tempo > 0)) throw new RangeError(`a tempo of ${tempo}: above 0`);
  return divide(
    multiply(rationalFromNumber(tempo), rational(tune.meter.beat)),
    rational(MS_PER_MINUTE),
  );
}

/**
 * How long so many passes last: the count-in, every pass with its pickup, repeats and endings played out, and the ending.
 * @param passes whole, from 1
 * @throws RangeError if passes are not whole or the tempo is not above 0
 */
export function runMs(run: Run, passes: number): Ms {
  if (!Number.isInteger(passes) || passes < 1)
    throw new RangeError(`${passes} passes: a whole number from 1`);
  const ticks = onceTicks(run) + passes * passTicks(run.tune);
  return toNumber(divide(rational(ticks), ticksPerMs(run)));
}

/**
 * How many whole passes fit into a time, count-in and ending included; 0 if not even one does. Counted exactly.
 * @param ms finite, from 0
 * @throws RangeError if the tune is empty, the time is not finite, or the tempo is not above 0
 */
export function passesIn(run: Run, ms: Ms): number {
  const pass = passTicks(run.tune);
  if (pass <= 0) throw new RangeError('a tune without measures has no passes');
  const ticks = multiply(rationalFromNumber(ms), ticksPerMs(run));
  const left = subtract(ticks, rational(onceTicks(run)));
  return Math.max(0, Number(floor(divide(left, rational(pass)))));
}
