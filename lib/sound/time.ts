import type { Measure } from '../tab/measure';
import type { Bpm, Ticks } from '../units';
import type { Seconds } from './event';

/** The first of two slots as a part of both: straight, and the longest that is still a dance. Common practice, no source. */
export const STRAIGHT = 0.5;
export const MOST_SWING = 0.75;

/** How ticks become seconds. */
export interface Pace {
  readonly tempo: Bpm;
  /** The first of two slots as a part of both, `STRAIGHT` to `MOST_SWING`. In 6/8, which counts in threes, it does nothing. */
  readonly swing: number;
}

/**
 * Ticks from the bar line as they are played with swing. Even slots stay where they are; the odd one between comes later and
 * what lies between slots moves along.
 */
export function swungTicks({ meter }: Pick<Measure, 'meter'>, inBar: Ticks, swing: number): Ticks {
  if (meter.name === '6/8' || swing === STRAIGHT) return inBar;
  const pair = 2 * meter.slot;
  const first = Math.floor(inBar / pair) * pair;
  const into = inBar - first;
  const stretched =
    into < meter.slot ? 2 * swing * into : pair * swing + 2 * (1 - swing) * (into - meter.slot);
  return first + stretched;
}

/** Seconds a tick lasts. Tempo counts the meter's beats a minute. */
export function tickSeconds({ meter }: Pick<Measure, 'meter'>, tempo: Bpm): Seconds {
  return 60 / (tempo * meter.beat);
}

/**
 * When a place in a measure is heard, in seconds after the measure begins. In a pickup that begins between two slots the first
 * stroke is late by its swing.
 */
export function secondsInto(measure: Measure, at: Ticks, { tempo, swing }: Pace): Seconds {
  const heard = swungTicks(measure, measure.startsAt + at, swing) - measure.startsAt;
  return heard * tickSeconds(measure, tempo);
}
