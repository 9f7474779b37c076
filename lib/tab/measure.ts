import type { Meter } from '../rhythm';
import type { Fret, StringNumber, Ticks } from '../units';

/**
 * Who makes the sound: the picking hand (strike, brush, thumb, chop), the fretting hand (hammer, pull, slide, pluck), or
 * nobody (rest). A slide stands where it arrives. A pluck is the fretting hand on a string that was not struck.
 */
export type By =
  | 'strike'
  | 'brush'
  | 'thumb'
  | 'hammer'
  | 'pull'
  | 'slide'
  | 'pluck'
  | 'chop'
  | 'rest';

export const BY: readonly By[] = [
  'strike',
  'brush',
  'thumb',
  'hammer',
  'pull',
  'slide',
  'pluck',
  'chop',
  'rest',
];

export interface Note {
  readonly string: StringNumber;
  readonly fret: Fret;
}

/** One stroke. `at` counts from the start of its measure; it lasts until the next one (`at + length`). */
export interface Stroke {
  readonly at: Ticks;
  readonly length: Ticks;
  readonly by: By;
  /** The strings that sound, ascending by string number. A rest has none. */
  readonly notes: readonly Note[];
}

/**
 * A measure: strokes in time that fill it without gap or overlap. A pickup is a short measure that starts late in the bar
 * (`startsAt` ticks after the bar line that it would have had); a full one starts at 0.
 */
export interface Measure {
  readonly meter: Meter;
  readonly startsAt: Ticks;
  readonly ticks: Ticks;
  readonly strokes: readonly Stroke[];
}

/** Place of a stroke counted from the bar line, which is what the picking hand goes by. */
export function inBar(measure: Measure, stroke: Stroke): Ticks {
  return measure.startsAt + stroke.at;
}

/** Is this sound made by the picking hand moving (so that the hand law applies)? */
export function isPicked(by: By): boolean {
  return by === 'strike' || by === 'brush' || by === 'thumb' || by === 'chop';
}

/** Is this sound made by the fretting hand alone? */
export function isFretted(by: By): boolean {
  return by === 'hammer' || by === 'pull' || by === 'slide' || by === 'pluck';
}

/** The same notes in the same order? */
function sameNotes(a: readonly Note[], b: readonly Note[]): boolean {
  return (
    a.length === b.length &&
    a.every((note, i) => note.string === b[i]?.string && note.fret === b[i]?.fret)
  );
}

/** The same strokes, one by one? Ids, authors and places in the tune do not count. */
export function sameStrokes(a: readonly Stroke[], b: readonly Stroke[]): boolean {
  return (
    a.length === b.length &&
    a.every((stroke, i) => {
      const other = b[i];
      return (
        other !== undefined &&
        stroke.at === other.at &&
        stroke.length === other.length &&
        stroke.by === other.by &&
        sameNotes(stroke.notes, other.notes)
      );
    })
  );
}
