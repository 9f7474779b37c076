import { hzFromMidi } from '../pitch';
import type { Measure } from '../tab/measure';
import { COUNT_IN_MEASURES } from '../transport/timeline';
import type { Neck } from '../tuning';
import { openMidi, placesOf } from '../tuning';
import type { Midi, Ticks } from '../units';
import { assertNever } from '../units';
import type { Seconds, SoundEvent } from './event';
import type { Pace } from './time';
import { swungTicks, tickSeconds } from './time';

/** How a start is counted: two measures of clicks, or four potatoes on the tonic. */
export type LeadIn =
  | { readonly kind: 'count' }
  | {
      readonly kind: 'potatoes';
      /** Pitch class of the tonic, 0 is C. */
      readonly tonic: number;
    };

export interface LeadInEvents {
  readonly events: readonly SoundEvent[];
  /** When the first measure begins. */
  readonly seconds: Seconds;
}

/** Source: "four potatoes", a shuffle on the tonic; common practice, no source. */
const POTATOES = 4;
/** How hard the long note and the two short ones are played. */
const LONG_LEVEL = 0.85;
const SHORT_LEVEL = 0.6;
const PLACE = 0.13;

/** Ticks before the first measure begins: a pickup takes its time from the end of what is counted, so that the beat goes on. */
function ticksBefore({ startsAt, ticks }: Measure, counted: Ticks): Ticks {
  return startsAt > 0 ? Math.max(0, counted - ticks) : counted;
}

/** Two measures of clicks, accented at each bar line. */
function countIn(first: Measure, pace: Pace): LeadInEvents {
  const { meter } = first;
  const tick = tickSeconds(first, pace.tempo);
  const before = ticksBefore(first, COUNT_IN_MEASURES * meter.measure);
  return {
    events: Array.from({ length: Math.ceil(before / meter.beat) }, (_, i) => ({
      kind: 'click',
      at: i * meter.beat * tick,
      accent: (i * meter.beat) % meter.measure === 0,
    })),
    seconds: before * tick,
  };
}

/** The tonic as it is found on the strings 1 to 4: open if it is, else at the lowest fret. */
function tonicNote(neck: Neck, tonic: number) {
  const lowest: Midi = openMidi(neck, 4);
  const at = lowest + ((((tonic - lowest) % 12) + 12) % 12);
  return [at, at + 12]
    .flatMap((midi) => placesOf(neck, midi).map((place) => ({ ...place, hz: hzFromMidi(midi) })))
    .filter(({ string }) => string !== 5)
    .sort((a, b) => a.fret - b.fret || b.string - a.string)[0];
}

/** One potato a beat: long, short, short; in 6/8 three even notes. */
function potatoes(first: Measure, neck: Neck, tonic: number, pace: Pace): LeadInEvents {
  const { meter } = first;
  const tick = tickSeconds(first, pace.tempo);
  const note = tonicNote(neck, tonic);
  const before = ticksBefore(first, POTATOES * meter.beat);
  const shares = meter.name === '6/8' ? [0, 1 / 3, 2 / 3] : [0, 1 / 2, 3 / 4];
  const events: SoundEvent[] = [];
  for (let potato = 0; note && potato < POTATOES; potato += 1)
    for (const [i, share] of shares.entries()) {
      const place = (potato + share) * meter.beat;
      if (place >= before) continue;
      const at = swungTicks(first, place, pace.swing) * tick;
      const { string, hz } = note;
      const level = i === 0 ? LONG_LEVEL : SHORT_LEVEL;
      events.push({ kind: 'pluck', at, string, hz, level, position: PLACE });
    }
  return { events, seconds: before * tick };
}

/**
 * What is heard before the first measure, from 0. The last of it gives way to a pickup, whose bar line then lies where the count
 * ends.
 */
export function leadInOf(leadIn: LeadIn, first: Measure, neck: Neck, pace: Pace): LeadInEvents {
  switch (leadIn.kind) {
    case 'count':
      return countIn(first, pace);
    case 'potatoes':
      return potatoes(first, neck, leadIn.tonic, pace);
    default:
      return assertNever(leadIn);
  }
}
