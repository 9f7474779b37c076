import { soundOf } from '../melody-marks';
import type { Note, Stroke } from '../tab/measure';
import type { PlainMeasure } from '../tune';
import type { Neck } from '../tuning';
import { openMidi } from '../tuning';
import type { Midi, Ticks } from '../units';

/** One time through the tune, as a file carries it. */
export interface WrittenPass {
  /** "Plain", "Pass 2": how it is headed. */
  readonly name: string;
  /** What is played instead of the plain strokes, by measure id; a measure that is not named is played plain. */
  readonly strokes: Readonly<Record<string, readonly Stroke[]>>;
}

/** Everything plain. */
export const PLAIN_PASS: WrittenPass = { name: 'Plain', strokes: {} };

function rest(at: Ticks, length: Ticks): Stroke {
  return { at, length, by: 'rest', notes: [] };
}

/**
 * The strokes of a measure in a pass, one after the other from its start to its end, as files need them: what overlaps is cut at the
 * next stroke, what is empty becomes a rest, what lies outside the measure is left out. A measure that adds up stays as it is.
 */
export function strokesIn(pass: WrittenPass, measure: PlainMeasure): readonly Stroke[] {
  const own = Object.hasOwn(pass.strokes, measure.id) ? pass.strokes[measure.id] : undefined;
  const inside = (own ?? measure.strokes)
    .filter(({ at }) => at < measure.ticks)
    .toSorted((a, b) => a.at - b.at)
    .filter(({ at }, i, all) => at !== all[i - 1]?.at);
  const filled: Stroke[] = [];
  let reached: Ticks = 0;
  for (const [i, stroke] of inside.entries()) {
    const next = inside[i + 1]?.at ?? measure.ticks;
    if (stroke.at > reached) filled.push(rest(reached, stroke.at - reached));
    const length = Math.min(stroke.length, next - stroke.at);
    filled.push({ ...stroke, length });
    reached = stroke.at + length;
  }
  if (reached < measure.ticks) filled.push(rest(reached, measure.ticks - reached));
  return filled;
}

/** What a note sounds; where the neck has no such fret (tab that nobody checked), what the string would sound if it were that long. */
export function midiOf(neck: Neck, note: Note): Midi {
  return soundOf(neck, note) ?? openMidi(neck, note.string) + note.fret;
}
