import type { Bpm, Ms, Ticks } from './units';
import { TICKS_PER_QUARTER } from './units';

/** The meters of old-time tunes that the board knows. */
export type MeterName = '4/4' | '2/2' | '2/4' | '3/4' | '6/8';

/** A meter with what follows from it for a clawhammer hand. All lengths are whole ticks. */
export interface Meter {
  readonly name: MeterName;
  readonly beats: number;
  readonly unit: 2 | 4 | 8;
  /** A slot: one motion of the picking hand. An eighth, in 2/4 a sixteenth. */
  readonly slot: Ticks;
  /** A full measure. */
  readonly measure: Ticks;
  /** The beat that players tap and tempo counts: a bum-ditty, in 3/4 a quarter. */
  readonly beat: Ticks;
  /** Slots of each bum-ditty in a full measure, in order. In 3/4 one bum-ditty and one more brush and thumb. */
  readonly groups: readonly number[];
}

const EIGHTH = TICKS_PER_QUARTER / 2;

/** Source: the trade's counting of the bum-ditty, common practice, no source. */
const METERS: Readonly<Record<MeterName, Meter>> = {
  '4/4': { name: '4/4', beats: 4, unit: 4, slot: EIGHTH, measure: 1920, beat: 960, groups: [4, 4] },
  '2/2': { name: '2/2', beats: 2, unit: 2, slot: EIGHTH, measure: 1920, beat: 960, groups: [4, 4] },
  '2/4': { name: '2/4', beats: 2, unit: 4, slot: 120, measure: 960, beat: 480, groups: [4, 4] },
  '3/4': { name: '3/4', beats: 3, unit: 4, slot: EIGHTH, measure: 1440, beat: 480, groups: [4, 2] },
  '6/8': { name: '6/8', beats: 6, unit: 8, slot: EIGHTH, measure: 1440, beat: 720, groups: [3, 3] },
};

export const METER_NAMES = Object.keys(METERS) as readonly MeterName[];

export function meterNamed(name: MeterName): Meter {
  return METERS[name];
}

export function isMeterName(value: unknown): value is MeterName {
  return typeof value === 'string' && Object.hasOwn(METERS, value);
}

/** Number of slots in a full measure: 8 in 4/4, 2/2 and 2/4, else 6. */
export function slotsIn(meter: Meter): number {
  return meter.measure / meter.slot;
}

/**
 * The slot that a place in the measure falls into, or undefined between slots.
 * @param at ticks from the bar line (a pickup's own start already added)
 */
export function slotAt(meter: Meter, at: Ticks): number | undefined {
  return at % meter.slot === 0 ? at / meter.slot : undefined;
}

/** First slot of the bum-ditty that holds this slot, and how many slots it has. */
export function groupAt(
  meter: Meter,
  slot: number,
): { readonly first: number; readonly slots: number; readonly index: number } {
  let first = 0;
  for (const [index, slots] of meter.groups.entries()) {
    if (slot < first + slots) return { first, slots, index };
    first += slots;
  }
  throw new RangeError(`slot ${slot} is not in a measure of ${meter.name}`);
}

/**
 * Which way the picking hand moves in a slot: down for the finger, up for the thumb. Down on even slots and up on
 * odd ones; in 6/8 each half is down, down, up (strike, brush, thumb in even eighths).
 * Source: common practice, no source.
 */
export function handAt(meter: Meter, slot: number): 'down' | 'up' {
  if (meter.name === '6/8') return slot % 3 === 2 ? 'up' : 'down';
  return slot % 2 === 0 ? 'down' : 'up';
}

/** How long a stretch of ticks lasts at a tempo in beats (`meter.beat`) a minute. */
export function msFromTicks(meter: Meter, tempo: Bpm, ticks: Ticks): Ms {
  return (ticks / meter.beat) * (60_000 / tempo);
}
