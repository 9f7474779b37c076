import type { Measure } from '../tab/measure';
import type { Neck } from '../tuning';
import type { Bpm } from '../units';
import type { Seconds, SoundEvent } from './event';
import type { LeadIn } from './lead-in';
import { leadInOf } from './lead-in';
import { StrokePlayer } from './strokes';
import type { Pace } from './time';
import { MOST_SWING, STRAIGHT, secondsInto, tickSeconds } from './time';

/** What is to be heard: measures one after the other on one neck. */
export interface ScoreRequest {
  readonly measures: readonly Measure[];
  readonly neck: Neck;
  /** The meter's beats a minute. */
  readonly tempo: Bpm;
  /** The first of two slots as a part of both, 1/2 to 3/4; straight (1/2) unless told. */
  readonly swing?: number;
  /** A click on every beat of the measures. */
  readonly click?: boolean;
  /** What comes before them. */
  readonly leadIn?: LeadIn;
}

/** When a stroke is heard: that of a slide is its arrival, that of a brush its first string. */
export interface StrokeTime {
  readonly measure: number;
  readonly stroke: number;
  readonly at: Seconds;
}

export interface Score {
  /** In order of time. */
  readonly events: readonly SoundEvent[];
  /** Every stroke of every measure, rests too, in order. */
  readonly strokes: readonly StrokeTime[];
  /** When each measure begins. */
  readonly measures: readonly Seconds[];
  /** When the last measure ends; strings ring on after it. */
  readonly seconds: Seconds;
}

function checked({ tempo, swing = STRAIGHT }: ScoreRequest): Pace {
  if (!(tempo > 0 && tempo < Number.POSITIVE_INFINITY))
    throw new RangeError(`tempo ${tempo} is not a number of beats a minute`);
  if (!(swing >= STRAIGHT && swing <= MOST_SWING))
    throw new RangeError(`swing ${swing} is not a part from ${STRAIGHT} to ${MOST_SWING}`);
  return { tempo, swing };
}

/** The beats that fall into a measure, counted from its bar line. */
function clicksIn(measure: Measure, start: Seconds, pace: Pace): readonly SoundEvent[] {
  const { meter, startsAt, ticks } = measure;
  const clicks: SoundEvent[] = [];
  for (let inBar = 0; inBar < startsAt + ticks; inBar += meter.beat)
    if (inBar >= startsAt)
      clicks.push({
        kind: 'click',
        at: start + (inBar - startsAt) * tickSeconds(measure, pace.tempo),
        accent: inBar === 0,
      });
  return clicks;
}

/**
 * The measures as timed events a string, and when each stroke is heard. A string rings until it is played again or stopped,
 * over bar lines; a rest stops nothing. Cost grows with the number of strokes.
 * @throws RangeError for a tempo or swing that is none
 */
export function scoreOf(request: ScoreRequest): Score {
  const pace = checked(request);
  const player = new StrokePlayer(request.neck);
  const [first] = request.measures;
  const before =
    first && request.leadIn ? leadInOf(request.leadIn, first, request.neck, pace) : undefined;
  const events: SoundEvent[] = [...(before?.events ?? [])];
  const strokes: StrokeTime[] = [];
  const starts: Seconds[] = [];
  let start: Seconds = before?.seconds ?? 0;
  for (const [measure, each] of request.measures.entries()) {
    starts.push(start);
    if (request.click) events.push(...clicksIn(each, start, pace));
    for (const [stroke, played] of each.strokes.entries()) {
      const at = start + secondsInto(each, played.at, pace);
      const end = start + secondsInto(each, played.at + played.length, pace);
      strokes.push({ measure, stroke, at });
      events.push(...player.events(played, at, end - at));
    }
    start += each.ticks * tickSeconds(each, pace.tempo);
  }
  return { events: events.sort((a, b) => a.at - b.at), strokes, measures: starts, seconds: start };
}
