import { handAt, slotAt } from './rhythm';
import type { Measure, Note, Stroke } from './tab/measure';
import { inBar } from './tab/measure';
import type { Neck } from './tuning';
import { hasFret, midiAt } from './tuning';
import type { Midi, Ticks } from './units';
import { assertNever } from './units';

/** A note of the melody as it stands in tab. */
export interface MelodyPoint {
  /** Ticks from the start of the measure. */
  readonly at: Ticks;
  /** Until the next note of the melody or the next finger stroke, whatever comes first; the drone rings along. */
  readonly length: Ticks;
  readonly note: Note;
  readonly midi: Midi;
}

/**
 * The note that stands out of a stroke: its only one, of a brush the one on its highest string. None in a rest or a
 * click.
 */
export function topNote({ by, notes }: Stroke): Note | undefined {
  return by === 'rest' || by === 'chop' ? undefined : notes[0];
}

/** What a note sounds, or undefined where the neck has no such fret (in tab that is still being written). */
export function soundOf(neck: Neck, { string, fret }: Note): Midi | undefined {
  return hasFret(neck, string, fret) ? midiAt(neck, string, fret) : undefined;
}

/** Is this the thumb on the drone, which rings along with the tune but is no part of it? */
export function isDrone({ by, notes }: Stroke): boolean {
  return by === 'thumb' && notes[0]?.string === 5;
}

function isMelody(measure: Measure, stroke: Stroke): boolean {
  const { by } = stroke;
  const { meter } = measure;
  switch (by) {
    case 'strike':
    case 'hammer':
    case 'pull':
    case 'slide':
    case 'pluck':
      return true;
    case 'thumb':
      return !isDrone(stroke);
    case 'brush': {
      const slot = slotAt(meter, inBar(measure, stroke));
      const first = meter.name === '6/8' ? 3 : 4;
      return slot !== undefined && handAt(meter, slot) === 'down' && slot % first === 0;
    }
    case 'chop':
    case 'rest':
      return false;
    default:
      return assertNever(by);
  }
}

/**
 * Where the melody's notes begin in a plain measure that nobody has marked, as the `at` of its strokes, ascending. The
 * melody is what is struck, what the thumb plays on an inner string, and what the left hand sounds; a brush only where a
 * bum-ditty begins with it; the drone never.
 * Source: how basic clawhammer carries a tune; common practice, no source.
 */
export function melodyMarks(measure: Measure): readonly Ticks[] {
  return measure.strokes.filter((stroke) => isMelody(measure, stroke)).map(({ at }) => at);
}

/** The marked notes of a measure in order; without marks those that `melodyMarks` finds. */
export function melodyOf(
  measure: Measure,
  neck: Neck,
  marks: readonly Ticks[] = melodyMarks(measure),
): readonly MelodyPoint[] {
  const struck = measure.strokes.flatMap((stroke) => {
    const note = marks.includes(stroke.at) ? topNote(stroke) : undefined;
    const midi = note && soundOf(neck, note);
    return note && midi !== undefined ? [{ at: stroke.at, note, midi }] : [];
  });
  const ends = measure.strokes.filter(
    ({ at, by }) => marks.includes(at) || by === 'strike' || by === 'brush' || by === 'chop',
  );
  return struck.map((point) => ({
    ...point,
    length: (ends.find(({ at }) => at > point.at)?.at ?? measure.ticks) - point.at,
  }));
}
