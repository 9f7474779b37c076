import { STRINGS } from '../units';
import type { Seconds, SoundEvent } from './event';
import type { Score, ScoreRequest } from './score';
import { scoreOf } from './score';

export interface RoundOptions {
  /** Only the click is heard. */
  readonly alone?: boolean;
  /** The first click of a measure stands out; it does unless told. */
  readonly accent?: boolean;
}

/** Hands on all strings, so that nothing rings on into somebody's own round. */
const HUSH: readonly SoundEvent[] = STRINGS.map((string) => ({ kind: 'damp', string, at: 0 }));

/**
 * The score of one round of practice.
 * @throws RangeError for a tempo or swing that is none
 */
export function roundScore(
  request: ScoreRequest,
  { alone = false, accent = true }: RoundOptions = {},
): Score {
  const score = scoreOf(request);
  const heard = alone ? [...HUSH, ...score.events.filter(isClick)] : score.events;
  const events = accent ? heard : heard.map((event) => (isClick(event) ? even(event) : event));
  return { ...score, events };
}

function isClick(event: SoundEvent): event is SoundEvent & { readonly kind: 'click' } {
  return event.kind === 'click';
}

function even<T extends SoundEvent & { readonly kind: 'click' }>(event: T): T {
  return { ...event, accent: false };
}

/** Sound that is known as a whole: events in order of time, and when the music ends. */
export interface Track {
  readonly events: readonly SoundEvent[];
  readonly seconds: Seconds;
}

/** Rounds one after the other without a gap. */
export function trackOf(rounds: readonly Track[]): Track {
  let start: Seconds = 0;
  const events: SoundEvent[] = [];
  for (const round of rounds) {
    for (const event of round.events) events.push({ ...event, at: start + event.at });
    start += round.seconds;
  }
  return { events, seconds: start };
}
