import type { Meter } from '../rhythm';
import { groupAt } from '../rhythm';
import type { Neck } from '../tuning';
import { placesOf } from '../tuning';
import type { Fret, Midi, Semitones, StringNumber, Ticks } from '../units';
import type { Moment, Spot } from './moments';

/** How a melody note is played. */
export interface Played {
  readonly moment: Moment;
  readonly at: Ticks;
  readonly by: 'strike' | 'thumb' | 'hammer' | 'pull';
  readonly string: StringNumber;
  readonly fret: Fret;
  readonly moved: boolean;
}

/** The melody on a neck: for each moment how it is played, or undefined where it is left out. */
export interface Path {
  readonly steps: readonly (Played | undefined)[];
  readonly cost: number;
}

/** Highest fret that a melody is taken to; above it the thumb's side of the neck has no room. Common practice, no source. */
const MAX_MELODY_FRET: Fret = 17;
/** Frets that one hand covers without moving, counted from its first finger. Source: common practice, no source. */
const SPAN = 3;
/** How far a hammer-on or a pull-off reaches. Source: the trade, "up to 4 is a reach"; common practice, no source. */
const REACH = 4;

/**
 * Prices of the search, in units of "one low fretted note". Only their order matters: open before fretted, low before
 * high, struck before hammered, a shift of the hand dear, a moved note dearer, a lost note dearest.
 * Source: common practice, no source.
 */
const PRICE = {
  strikeDrone: 4,
  thumbDrone: 0.3,
  dropThumb: 1.5,
  thumbAcross: 2,
  hammer: 1,
  pull: 1.2,
  farReach: 0.6,
  shift: 2,
  move: 8,
  loss: 40,
} as const;

/** Most states that are followed from note to note; a tune needs far fewer. */
const BEAM = 24;

type Places = ReturnType<typeof placesOf>;

interface State {
  readonly cost: number;
  /** The last note that was played, if any. */
  readonly last: Played | undefined;
  /** The last fret that a finger stood on, 0 before the first. */
  readonly hand: Fret;
  readonly step: Played | undefined;
  readonly before: State | undefined;
}

function fretPrice(fret: Fret): number {
  if (fret === 0) return 0;
  if (fret <= 5) return 1 + fret / 10;
  return fret <= 7 ? 2 + (fret - 5) / 2 : 3 + (fret - 7) * 0.8;
}

/** What it costs to move the hand. @param isFree an open string sounds meanwhile, so there is time. Source: the trade, "players buy that time". */
function handPrice(hand: Fret, fret: Fret, isFree: boolean): number {
  if (hand === 0 || fret === 0) return 0;
  const distance = Math.abs(hand - fret);
  return isFree || distance <= SPAN ? distance / 5 : PRICE.shift + distance - SPAN;
}

/**
 * What a stroke of the picking hand costs here, or undefined if it cannot play this string. In the slot after a strike the
 * thumb drops only to the bass side of the struck string; later it may play that string again, below the brush, or reach across, at a price.
 * @param last what was played before in this measure, if anything
 * @param near was it in the slot before?
 */
function pickPrice(
  hand: Spot['hand'],
  string: StringNumber,
  fret: Fret,
  last: Played | undefined,
  near: boolean,
): number | undefined {
  if (string === 5 && fret !== 0) return undefined;
  if (hand === 'down') return string === 5 ? PRICE.strikeDrone : 0;
  if (hand !== 'up' || string === 1) return undefined;
  if (string === 5) return PRICE.thumbDrone;
  if (last?.by !== 'strike' || string > last.string) return PRICE.dropThumb;
  if (string === last.string && string > 2 && !near) return PRICE.dropThumb;
  return near ? undefined : PRICE.dropThumb + PRICE.thumbAcross;
}

/**
 * Does a string still ring for the fretting hand? For two slots after it was struck, and for three within a bum-ditty, whose brush sounds it
 * again just before.
 */
function ringsOn(last: Played, at: Ticks, meter: Meter): boolean {
  const slots = (at - last.at) / meter.slot;
  const { startsAt } = last.moment;
  const groupOf = (ticks: Ticks) =>
    groupAt(meter, Math.floor((startsAt + ticks) / meter.slot)).index;
  return slots <= 2 || (slots === 3 && groupOf(last.at) === groupOf(at));
}

/** What the fretting hand alone costs here, or undefined if the string does not ring from the note before. */
function leftPrice(string: StringNumber, fret: Fret, last: Played): number | undefined {
  if (last.string !== string || string === 5) return undefined;
  const frets = fret - last.fret;
  if (frets === 0 || Math.abs(frets) > REACH) return undefined;
  const far = Math.max(0, Math.abs(frets) - 2) * PRICE.farReach;
  return (frets > 0 ? PRICE.hammer : PRICE.pull) + far;
}

/** Tells every way to play a note after a state. */
function eachWay(
  state: State,
  moment: Moment,
  places: Places,
  meter: Meter,
  tell: (played: Played, price: number) => void,
): void {
  const { last } = state;
  const sameMeasure = last !== undefined && last.moment.measure === moment.measure;
  for (const { at, hand, moved } of moment.spots) {
    const gap = sameMeasure ? at - last.at : Number.POSITIVE_INFINITY;
    if (gap <= 0) continue;
    const near = gap <= meter.slot;
    for (const { string, fret } of places) {
      const base =
        fretPrice(fret) + handPrice(state.hand, fret, last?.fret === 0) + (moved ? PRICE.move : 0);
      const picked = pickPrice(hand, string, fret, sameMeasure ? last : undefined, near);
      if (picked !== undefined) {
        const by = hand === 'down' ? 'strike' : 'thumb';
        tell({ moment, at, by, string, fret, moved }, base + picked);
      }
      if (hand === 'down' || moved || !sameMeasure || !ringsOn(last, at, meter)) continue;
      const left = leftPrice(string, fret, last);
      if (left !== undefined) {
        const by = fret > last.fret ? 'hammer' : 'pull';
        tell({ moment, at, by, string, fret, moved }, base + left);
      }
    }
  }
}

const BY_NUMBER = { strike: 0, thumb: 1, hammer: 2, pull: 3 } as const;

/** A number that two states share only if the same may follow them at the same price. */
function keyOf({ last, hand }: State): number {
  if (!last) return -1 - hand;
  const place = (last.string * 32 + last.fret) * 32 + hand;
  return ((last.moment.measure * 8192 + last.at) * 4 + BY_NUMBER[last.by]) * 8192 + place;
}

function follow(
  states: readonly State[],
  moment: Moment,
  places: Places,
  meter: Meter,
): readonly State[] {
  const best = new Map<number, State>();
  const keep = (state: State) => {
    const key = keyOf(state);
    const known = best.get(key);
    if (!known || state.cost < known.cost) best.set(key, state);
  };
  for (const state of states) {
    eachWay(state, moment, places, meter, (played, price) =>
      keep({
        cost: state.cost + price,
        last: played,
        hand: played.fret || state.hand,
        step: played,
        before: state,
      }),
    );
    keep({ ...state, cost: state.cost + PRICE.loss, step: undefined, before: state });
  }
  return [...best.values()].sort((a, b) => a.cost - b.cost).slice(0, BEAM);
}

/** Pitches that this neck has up to the highest melody fret, each with its places. */
export function placesOn(neck: Neck): (midi: Midi) => Places {
  const known = new Map<Midi, Places>();
  return (midi) => {
    const held = known.get(midi) ?? placesOf(neck, midi, MAX_MELODY_FRET);
    known.set(midi, held);
    return held;
  };
}

/**
 * Mean price of the lowest place of each note, as a quick guess at how a melody lies; undefined if the neck lacks a note.
 */
export function lowness(
  moments: readonly Moment[],
  places: (midi: Midi) => Places,
  transpose: Semitones,
): number | undefined {
  let sum = 0;
  for (const { midi } of moments) {
    const [lowest] = places(midi + transpose);
    if (!lowest) return undefined;
    sum += fretPrice(lowest.fret);
  }
  return sum / Math.max(1, moments.length);
}

/**
 * The cheapest way to play all moments in order: a shortest path over (place, stroke, hand), a note left out where nothing
 * can play it. Linear in the number of notes.
 */
export function cheapestPath(
  moments: readonly Moment[],
  places: (midi: Midi) => Places,
  transpose: Semitones,
  meter: Meter,
): Path {
  let states: readonly State[] = [
    { cost: 0, last: undefined, hand: 0, step: undefined, before: undefined },
  ];
  for (const moment of moments)
    states = follow(states, moment, places(moment.midi + transpose), meter);
  const [end] = states;
  const steps: (Played | undefined)[] = [];
  for (let state = end; state?.before; state = state.before) steps.push(state.step);
  return { steps: steps.reverse(), cost: end?.cost ?? 0 };
}
