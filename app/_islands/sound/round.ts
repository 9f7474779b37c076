import type { Seconds } from '../../../lib/sound/event';
import type { RoundOptions } from '../../../lib/sound/round';
import { roundScore } from '../../../lib/sound/round';
import type { Score, ScoreRequest } from '../../../lib/sound/score';

/** A stretch of music that is played whole, and where on the page it stands. */
export interface Round {
  readonly score: Score;
  readonly request: ScoreRequest;
  /** For each measure, the CSS selector of the picture that shows it. */
  readonly places: readonly string[];
  /** The strings are silent: the person plays it alone. */
  readonly alone: boolean;
}

/** The rounds to be played, counted from 0; undefined after the last one. The same number gives the same round. */
export type Rounds = (index: number) => Round | undefined;

export function roundOf(
  request: ScoreRequest,
  places: readonly string[],
  options: RoundOptions = {},
): Round {
  return { score: roundScore(request, options), request, places, alone: options.alone ?? false };
}

/** Where a round is at a time after its start: the measure and the stroke that was heard last. */
export interface InRound {
  /** Undefined while it is counted in. */
  readonly measure: number | undefined;
  readonly stroke: number | undefined;
  /** Beats since the measure began or, while it is counted in, since the count began; whole, from 0. */
  readonly beat: number;
}

export function inRound({ score, request }: Round, seconds: Seconds): InRound {
  const beatSeconds = 60 / request.tempo;
  const index = score.measures.findLastIndex((start) => start <= seconds);
  const start = score.measures[index];
  if (start === undefined)
    return {
      measure: undefined,
      stroke: undefined,
      beat: Math.max(0, Math.floor(seconds / beatSeconds)),
    };
  const measure = request.measures[index];
  const before = measure ? measure.startsAt / measure.meter.beat : 0;
  const beat = Math.floor(before + (seconds - start) / beatSeconds);
  const stroke = score.strokes.findLast(({ measure, at }) => measure === index && at <= seconds);
  return { measure: index, stroke: stroke?.stroke, beat };
}
