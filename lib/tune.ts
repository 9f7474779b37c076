import type { Key } from './harmony';
import type { Meter } from './rhythm';
import type { Measure, Stroke } from './tab/measure';
import type { Timeline } from './transport/timeline';
import type { Neck } from './tuning';
import type { Bpm, MeasureId, Ticks } from './units';

/** Chords that may begin inside a measure: more than it has slots. */
export const MAX_CHORDS = 16;

/** A chord that begins inside a measure. */
export interface ChordChange {
  /** Ticks from the start of the measure. */
  readonly at: Ticks;
  readonly symbol: string;
}

/** A measure of the tune as everybody knows it. */
export interface PlainMeasure {
  readonly id: MeasureId;
  /** Ticks after its bar line at which a pickup begins; 0 for any other measure. */
  readonly startsAt: Ticks;
  /** Its length: the meter's, or less for a pickup and for the measure that a pickup completes. */
  readonly ticks: Ticks;
  readonly strokes: readonly Stroke[];
  /** Chord symbol as players write it ("G", "D7", "Am"), from here until the next one. */
  readonly chord?: string;
  /** Further chords inside the measure, ascending, none at 0. */
  readonly chords?: readonly ChordChange[];
  /** Where the melody's notes begin, as the `at` of plain strokes, ascending. */
  readonly melody: readonly Ticks[];
  /** The times through its part in which it is played (first and second endings); absent: every time. */
  readonly endings?: readonly number[];
}

/** All chords of a measure by their place, the one at its beginning first. */
export function chordsOf({
  chord,
  chords,
}: Pick<PlainMeasure, 'chord' | 'chords'>): readonly ChordChange[] {
  return [...(chord === undefined ? [] : [{ at: 0, symbol: chord }]), ...(chords ?? [])];
}

/** The fields of a measure that hold these chords. */
export function chordFields(all: readonly ChordChange[]): Pick<PlainMeasure, 'chord' | 'chords'> {
  const first = all.find(({ at }) => at === 0);
  const chords = all.filter(({ at }) => at > 0);
  return {
    ...(first === undefined ? {} : { chord: first.symbol }),
    ...(chords.length === 0 ? {} : { chords }),
  };
}

/** The chord that holds as a measure of a row begins: its own, or the last one named before it. */
export function chordInForce(
  measures: readonly Pick<PlainMeasure, 'chord' | 'chords'>[],
  index: number,
): string | undefined {
  const own = measures[index]?.chord;
  if (own !== undefined) return own;
  return measures.slice(0, Math.max(0, index)).flatMap(chordsOf).at(-1)?.symbol;
}

export interface Part {
  /** "A", "B", ... */
  readonly letter: string;
  readonly measures: readonly PlainMeasure[];
}

export interface Tune {
  readonly title: string;
  readonly neck: Neck;
  readonly meter: Meter;
  readonly key: Key;
  readonly tempo: Bpm;
  readonly parts: readonly Part[];
  /** The parts in the order of one pass, by letter: A A B B. */
  readonly form: readonly string[];
}

/** One measure of a pass as it goes by. */
export interface Visit {
  /** Place in the pass, from 0. */
  readonly index: number;
  readonly part: string;
  /** Which time through its part in this pass, from 1. */
  readonly time: number;
  readonly measure: PlainMeasure;
  /** Ticks from the start of the pass. */
  readonly startTicks: Ticks;
}

/** The plain measure (or these strokes in its place) as a measure that stands alone. */
export function measureOf(
  meter: Meter,
  plain: PlainMeasure,
  strokes: readonly Stroke[] = plain.strokes,
): Measure {
  return { meter, startsAt: plain.startsAt, ticks: plain.ticks, strokes };
}

/** All measures of one pass in playing order, repeats and endings played out. */
export function playOrder(tune: Pick<Tune, 'parts' | 'form'>): readonly Visit[] {
  const times = new Map<string, number>();
  const visits: Visit[] = [];
  let startTicks: Ticks = 0;
  for (const letter of tune.form) {
    const time = (times.get(letter) ?? 0) + 1;
    times.set(letter, time);
    for (const measure of tune.parts.find((part) => part.letter === letter)?.measures ?? []) {
      if (measure.endings && !measure.endings.includes(time)) continue;
      visits.push({ index: visits.length, part: letter, time, measure, startTicks });
      startTicks += measure.ticks;
    }
  }
  return visits;
}

/** Length of one pass. */
export function passTicks(tune: Pick<Tune, 'parts' | 'form'>): Ticks {
  return playOrder(tune).reduce((sum, visit) => sum + visit.measure.ticks, 0);
}

/** One pass laid out in time, for `positionAt`. */
export function timelineOf(tune: Pick<Tune, 'parts' | 'form' | 'meter'>): Timeline {
  const visits = playOrder(tune);
  return {
    meter: tune.meter,
    starts: visits.map((visit) => visit.startTicks),
    offsets: visits.map((visit) => visit.measure.startsAt),
    total: visits.reduce((sum, visit) => sum + visit.measure.ticks, 0),
  };
}
