import type { Measure, Note, Stroke } from '../tab/measure';
import type { Fret, StringNumber, Ticks } from '../units';

/** How a moment's note grows out of the moment before it, on the same string. */
export type Link =
  | { readonly kind: 'free' }
  | {
      readonly kind: 'hammer' | 'pull' | 'slide';
      readonly string: StringNumber;
      readonly from: Fret;
      readonly to: Fret;
    };

/** A time at which the fretting hand has something to stop. Open strings are no moment: they are time to move. */
export interface Moment {
  /** Index of the measure in the list that was asked about, and of the stroke in it. */
  readonly measure: number;
  readonly stroke: number;
  /** Ticks from the start of the first measure. */
  readonly at: Ticks;
  readonly length: Ticks;
  /** What is stopped, ascending by string; never empty, no open string. */
  readonly stopped: readonly Note[];
  /** Strings that sound open now, so that no finger may lie across them. */
  readonly open: readonly StringNumber[];
  readonly link: Link;
}

interface Timed {
  readonly measure: number;
  readonly stroke: number;
  readonly at: Ticks;
  readonly sound: Stroke;
  /** Notes stopped earlier that a later pull or slide still needs. */
  readonly kept: Note[];
}

function timed(measures: readonly Measure[]): readonly Timed[] {
  let start: Ticks = 0;
  return measures.flatMap(({ strokes, ticks }, measure) => {
    const from = start;
    start += ticks;
    return strokes.map((sound, stroke) => ({
      measure,
      stroke,
      at: from + sound.at,
      sound,
      kept: [],
    }));
  });
}

/** Index of the last sound before `index` on this string, or -1. */
function lastOn(sounds: readonly Timed[], index: number, string: StringNumber): number {
  for (let i = index - 1; i >= 0; i--)
    if (sounds[i]?.sound.notes.some((note) => note.string === string)) return i;
  return -1;
}

/** Where a hammer, pull or slide of a fretted string comes from; the note it comes from stays stopped until then. */
function linkOf(sounds: readonly Timed[], index: number): Link {
  const sound = sounds[index]?.sound;
  const [note] = sound?.notes ?? [];
  if (!note || !sound || (sound.by !== 'hammer' && sound.by !== 'pull' && sound.by !== 'slide'))
    return { kind: 'free' };
  const origin = lastOn(sounds, index, note.string);
  const from = sounds[origin]?.sound.notes.find(({ string }) => string === note.string);
  if (!from || from.fret === 0) return { kind: 'free' };
  const between = sounds.slice(origin + 1, index);
  if (
    sound.by === 'hammer' &&
    between.some(({ sound: { notes } }) => notes.some((n) => n.fret > 0))
  )
    return { kind: 'free' };
  if (sound.by !== 'hammer') for (const { kept } of between) kept.push(from);
  return { kind: sound.by, string: note.string, from: from.fret, to: note.fret };
}

/**
 * The moments of measures played one after the other. A note from which a later sound is pulled or slid stays stopped
 * until then; a hammer on a fretted string keeps the finger below it down if nothing else is stopped in between.
 */
export function momentsOf(measures: readonly Measure[]): readonly Moment[] {
  const sounds = timed(measures);
  const links = sounds.map((_, index) => linkOf(sounds, index));
  return sounds.flatMap(({ measure, stroke, at, sound, kept }, index): readonly Moment[] => {
    if (sound.by === 'chop') return [];
    const struck = sound.notes.filter(({ fret }) => fret > 0);
    const more = kept.filter((note) => !sound.notes.some(({ string }) => string === note.string));
    const stopped = [...struck, ...more].sort((a, b) => a.string - b.string);
    if (stopped.length === 0) return [];
    const open = sound.notes.filter(({ fret }) => fret === 0).map(({ string }) => string);
    const link = links[index] ?? { kind: 'free' };
    return [{ measure, stroke, at, length: sound.length, stopped, open, link }];
  });
}
