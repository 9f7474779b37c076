import type { Seconds, SoundEvent } from '../../../lib/sound/event';
import type { Score, ScoreRequest } from '../../../lib/sound/score';
import { scoreOf } from '../../../lib/sound/score';
import { STRINGS } from '../../../lib/units';

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

export interface RoundOptions {
  /** Only the click is heard. */
  readonly alone?: boolean;
  /** The first click of a measure stands out; it does unless told. */
  readonly accent?: boolean;
}

/** Hands on all strings, so that nothing rings on into somebody's own round. */
const HUSH: readonly SoundEvent[] = STRINGS.map((string) => ({ kind: 'damp', string, at: 0 }));

export function roundOf(
  request: ScoreRequest,
  places: readonly string[],
  { alone = false, accent = true }: RoundOptions = {},
): Round {
  const score = scoreOf(request);
  const heard = alone ? [...HUSH, ...score.events.filter(isClick)] : score.events;
  const events = accent ? heard : heard.map((event) => (isClick(event) ? even(event) : event));
  return { score: { ...score, events }, request, places, alone };
}

function isClick(event: SoundEvent): event is SoundEvent & { readonly kind: 'click' } {
  return event.kind === 'click';
}

function even<T extends SoundEvent & { readonly kind: 'click' }>(event: T): T {
  return { ...event, accent: false };
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
