import { handAt, slotAt } from '../rhythm';
import type { Measure, Stroke } from '../tab/measure';
import { inBar } from '../tab/measure';
import type { Bpm, StringNumber } from '../units';
import { assertNever } from '../units';
import type { HardMoment } from './trouble';

export type Level = 1 | 2 | 3 | 4 | 5;

/** The scale of difficulty, as a leader would say whom a measure is for. Source: common practice, no source. */
export const LEVELS: Readonly<Record<Level, string>> = {
  1: 'the basic pattern, for first tunes',
  2: 'one or two new things in it',
  3: 'several new things, or one that takes practice',
  4: 'busy or far apart, for steady players',
  5: 'for players who know the tune and the neck well',
};

/**
 * Points from which each level begins.
 * Source: our estimates, checked against the examples in tests/unit/hands/level.test.ts.
 */
const FROM: readonly (readonly [Level, number])[] = [
  [5, 8],
  [4, 4.5],
  [3, 2.5],
  [2, 0.8],
];

/** What makes a measure harder than the basic pattern, with its weight. */
export interface Difficulty {
  readonly level: Level;
  /** Weight of all reasons at this tempo; the scale's finer grain. */
  readonly points: number;
  /** The heaviest first; none for the basic pattern. */
  readonly reasons: readonly Reason[];
}

export interface Reason {
  readonly stroke: number;
  readonly points: number;
  readonly words: string;
}

/** Weights of new things. Source: the order in which workshops teach them; common practice, no source. */
const LEFT_HAND = 1;
const UNSTRUCK = 2;
const DROPPED_THUMB = 1.5;
const SECOND_THUMB = 0.8;
const SKIPPED = 1.5;
const STOPPED = 1;
const BETWEEN_SLOTS = 1;
/** Weight of a moment that takes all the time there is. */
const STRAIN = 3;
/**
 * Tempo at which the weights hold; new things weigh in proportion to how much faster or slower it goes.
 * Source: dance tempo, trade.
 */
const DANCE_TEMPO: Bpm = 110;
/** Part of the weight that a slow tempo does not take away: a new thing is new at any speed. */
const AT_REST = 0.5;

/** What is new about a stroke, given what sounded before it; undefined for what the basic pattern has too. */
function newThing(
  measure: Measure,
  stroke: Stroke,
  before: Stroke | undefined,
): { readonly points: number; readonly words: string } | undefined {
  const { by, notes } = stroke;
  const slot = slotAt(measure.meter, inBar(measure, stroke));
  const late = slot === undefined ? BETWEEN_SLOTS : 0;
  const string: StringNumber | undefined = notes[0]?.string;
  const struck = before?.notes.some((note) => note.string === string) ?? false;
  switch (by) {
    case 'hammer':
      return struck
        ? { points: LEFT_HAND + late, words: 'a hammer-on' }
        : { points: UNSTRUCK + late, words: 'a hammer from nowhere' };
    case 'pull':
      return { points: LEFT_HAND + late, words: 'a pull-off' };
    case 'slide':
      return { points: LEFT_HAND + late / 2, words: 'a slide' };
    case 'pluck':
      return { points: UNSTRUCK + late, words: 'a left-hand pluck' };
    case 'chop':
      return { points: STOPPED, words: 'a stopped hand' };
    case 'thumb':
      if (string !== 5) return { points: DROPPED_THUMB, words: 'a dropped thumb' };
      return before?.by === 'strike' &&
        before.length === measure.meter.slot &&
        isLongPlace(measure, before)
        ? { points: SECOND_THUMB, words: 'a second thumb' }
        : undefined;
    case 'rest':
      return slot !== undefined && handAt(measure.meter, slot) === 'down'
        ? { points: SKIPPED, words: 'a missed stroke' }
        : undefined;
    case 'strike':
    case 'brush':
      return undefined;
    default:
      return assertNever(by);
  }
}

/** Does the stroke start where the bum-ditty has its long note? */
function isLongPlace(measure: Measure, stroke: Stroke): boolean {
  const slot = inBar(measure, stroke) / measure.meter.slot;
  return measure.meter.name === '6/8' ? slot % 3 === 0 : slot % 4 === 0;
}

/**
 * How hard a measure is: the new things in it and how fast they come, and what is far for the fretting hand.
 * @param hard the measure's hard moments, from `frettingPath` at the same tempo
 */
export function difficultyOf(
  measure: Measure,
  hard: readonly HardMoment[],
  tempo: Bpm,
): Difficulty {
  const speed = AT_REST + (1 - AT_REST) * (tempo / DANCE_TEMPO);
  const things = measure.strokes.flatMap((stroke, index): readonly Reason[] => {
    const thing = newThing(measure, stroke, measure.strokes[index - 1]);
    return thing ? [{ stroke: index, points: thing.points * speed, words: thing.words }] : [];
  });
  const strains = hard.map(
    ({ stroke, strain, words }): Reason => ({ stroke, points: strain * STRAIN, words }),
  );
  const reasons = [...things, ...strains].sort((a, b) => b.points - a.points);
  const points = reasons.reduce((sum, reason) => sum + reason.points, 0);
  const level = FROM.find(([, from]) => points >= from)?.[0] ?? 1;
  return { level, points, reasons };
}
