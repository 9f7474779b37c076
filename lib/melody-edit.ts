import type { Melody, MelodyMeasure, MelodyNote } from './melody';
import type { Midi, Ticks } from './units';

/** A note of a melody: its part and measure by their places, and where in the measure it begins. */
export interface NotePlace {
  readonly part: number;
  readonly measure: number;
  readonly at: Ticks;
}

/** A note, or a rest without pitch, as a row of them fills a measure. */
export interface MelodySound {
  readonly at: Ticks;
  readonly length: Ticks;
  readonly midi?: Midi;
  readonly tied?: boolean;
}

/** Lowest and highest pitch that a note is moved to: what a five-string can sound, with an octave to either side. */
const LOWEST: Midi = 36;
const HIGHEST: Midi = 100;

/** Notes and the rests between them, from a measure's start to its end. */
export function soundsOf({ notes, ticks }: MelodyMeasure): readonly MelodySound[] {
  const sounds: MelodySound[] = [];
  let reached: Ticks = 0;
  for (const note of notes) {
    if (note.at > reached) sounds.push({ at: reached, length: note.at - reached });
    sounds.push(note);
    reached = note.at + note.length;
  }
  if (reached < ticks) sounds.push({ at: reached, length: ticks - reached });
  return sounds;
}

function measureAt(melody: Melody, { part, measure }: NotePlace): MelodyMeasure | undefined {
  return melody.parts[part]?.measures[measure];
}

function withNotes(melody: Melody, place: NotePlace, notes: readonly MelodyNote[]): Melody {
  return {
    ...melody,
    parts: melody.parts.map((part, p) =>
      p === place.part
        ? {
            ...part,
            measures: part.measures.map((one, m) =>
              m === place.measure ? { ...one, notes } : one,
            ),
          }
        : part,
    ),
  };
}

/** The note that begins at a place, or undefined. */
export function noteAt(melody: Melody, place: NotePlace): MelodyNote | undefined {
  return measureAt(melody, place)?.notes.find(({ at }) => at === place.at);
}

function untied({ tied: _, ...note }: MelodyNote): MelodyNote {
  return note;
}

/**
 * A melody in which a tie goes on only from a note of the same pitch that lasts to the bar line; any other note that was tied is struck.
 */
function mended(melody: Melody): Melody {
  return {
    ...melody,
    parts: melody.parts.map((part) => ({
      ...part,
      measures: part.measures.map((measure, m) => {
        const [first, ...rest] = measure.notes;
        const before = part.measures[m - 1];
        const last = before?.notes.at(-1);
        const held =
          before && last && last.at + last.length === before.ticks ? last.midi : undefined;
        const goesOn = m === 0 || (first?.at === 0 && held === first.midi);
        return first?.tied && !goesOn ? { ...measure, notes: [untied(first), ...rest] } : measure;
      }),
    })),
  };
}

/** The same note in the measures that it is tied into. */
function tiedOn(melody: Melody, place: NotePlace): readonly NotePlace[] {
  const places: NotePlace[] = [place];
  for (let m = place.measure + 1; ; m++) {
    const before = measureAt(melody, { ...place, measure: m - 1 });
    const last = before?.notes.at(-1);
    const next = measureAt(melody, { ...place, measure: m })?.notes[0];
    const from = places.at(-1);
    if (!last || last.at !== from?.at || !next?.tied || next.midi !== last.midi) return places;
    places.push({ part: place.part, measure: m, at: next.at });
  }
}

/** The note at a place at another pitch, in all measures that it rings on into. Out of reach of any neck, or no note: nothing changes. */
export function withPitch(melody: Melody, place: NotePlace, midi: Midi): Melody {
  if (!noteAt(melody, place) || midi < LOWEST || midi > HIGHEST) return melody;
  const made = tiedOn(melody, place).reduce(
    (all, one) =>
      withNotes(
        all,
        one,
        (measureAt(all, one)?.notes ?? []).map((note) =>
          note.at === one.at ? { ...note, midi } : note,
        ),
      ),
    melody,
  );
  return mended(made);
}

/**
 * The note at a place with another length: a longer one takes its time from what comes after it in its measure, a shorter one leaves a
 * rest. It ends at the bar line at the latest.
 */
export function withNoteLength(melody: Melody, place: NotePlace, length: Ticks): Melody {
  const measure = measureAt(melody, place);
  const own = noteAt(melody, place);
  if (!measure || !own || !Number.isInteger(length) || length < 1) return melody;
  const end = Math.min(place.at + length, measure.ticks);
  const notes = measure.notes.flatMap((note): readonly MelodyNote[] => {
    if (note.at === place.at) return [{ ...note, length: end - note.at }];
    if (note.at < place.at || note.at >= end) return [note];
    const left = note.at + note.length - end;
    return left > 0 ? [{ ...note, at: end, length: left }] : [];
  });
  return mended(withNotes(melody, place, notes));
}

/** The note at a place as a rest. */
export function withoutNoteAt(melody: Melody, place: NotePlace): Melody {
  const measure = measureAt(melody, place);
  if (!measure || !noteAt(melody, place)) return melody;
  return mended(
    withNotes(
      melody,
      place,
      measure.notes.filter(({ at }) => at !== place.at),
    ),
  );
}

/** A note in the place of a rest that begins there, as long as the rest or as `length` where that is shorter. */
export function withNoteIn(melody: Melody, place: NotePlace, midi: Midi, length: Ticks): Melody {
  const measure = measureAt(melody, place);
  const rest = measure && soundsOf(measure).find(({ at }) => at === place.at);
  const fits = midi >= LOWEST && midi <= HIGHEST && Number.isInteger(length) && length > 0;
  if (!measure || !rest || rest.midi !== undefined || !fits) return melody;
  const note = { at: place.at, length: Math.min(length, rest.length), midi };
  return mended(
    withNotes(
      melody,
      place,
      [...measure.notes, note].sort((a, b) => a.at - b.at),
    ),
  );
}

/** A note cut in two of one pitch, the second beginning after `length`; both are struck. */
export function withNoteCut(melody: Melody, place: NotePlace, length: Ticks): Melody {
  const measure = measureAt(melody, place);
  const own = noteAt(melody, place);
  if (!measure || !own || !Number.isInteger(length) || length < 1 || length >= own.length)
    return melody;
  const second = { at: own.at + length, length: own.length - length, midi: own.midi };
  const notes = measure.notes.flatMap((note) =>
    note === own ? [{ ...own, length }, second] : [note],
  );
  return mended(withNotes(melody, place, notes));
}
