import type { Key } from './harmony';
import type { Meter } from './rhythm';
import type { ChordChange } from './tune';
import type { Bpm, Midi, Ticks } from './units';

/** One note of a tune, before anybody has put it on a neck. `at` counts from the start of its measure. */
export interface MelodyNote {
  readonly at: Ticks;
  readonly length: Ticks;
  /** Sounding pitch. */
  readonly midi: Midi;
  /** The note before it rings on into this measure: it is not struck again. */
  readonly tied?: boolean;
}

/** A measure of a melody; `startsAt`, `ticks`, `chord`, `chords` and `endings` mean what they mean in `PlainMeasure`. */
export interface MelodyMeasure {
  readonly startsAt: Ticks;
  readonly ticks: Ticks;
  /** In order of time, never two at once; where there is none, the melody rests. */
  readonly notes: readonly MelodyNote[];
  readonly chord?: string;
  readonly chords?: readonly ChordChange[];
  readonly endings?: readonly number[];
}

export interface MelodyPart {
  /** "A", "B", ... */
  readonly letter: string;
  readonly measures: readonly MelodyMeasure[];
}

/** A tune as a line of notes, for no instrument in particular. */
export interface Melody {
  readonly title: string;
  readonly meter: Meter;
  readonly key: Key;
  readonly tempo?: Bpm;
  readonly parts: readonly MelodyPart[];
  /** The parts in playing order, by letter: A A B B. */
  readonly form: readonly string[];
}
