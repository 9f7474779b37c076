import { handAt, slotAt } from '../rhythm';
import type { Fret, StringNumber, Ticks } from '../units';
import type { By, Measure, Note, Stroke } from './measure';

/**
 * Editing a measure by hand, one step at a time. Every step gives a new measure; whether it still adds up and can be played
 * is for `problemsOf` to say, so that a half-made measure can be looked at while it is being made.
 */

/** Index of the stroke that sounds (or rests) at a place, or undefined before the first and after the last. */
export function strokeIndexAt(measure: Measure, at: Ticks): number | undefined {
  const index = measure.strokes.findIndex(
    (stroke) => stroke.at <= at && at < stroke.at + stroke.length,
  );
  return index < 0 ? undefined : index;
}

/** What a stroke at this place is when nobody says otherwise: the thumb where the hand comes up, else a finger. */
function usualBy(measure: Measure, at: Ticks, notes: readonly Note[]): By {
  if (notes.length === 0) return 'rest';
  const slot = slotAt(measure.meter, measure.startsAt + at);
  const up = slot !== undefined && handAt(measure.meter, slot) === 'up';
  if (notes.length > 1) return 'brush';
  return up ? 'thumb' : 'strike';
}

function withStrokes(measure: Measure, strokes: readonly Stroke[]): Measure {
  return { ...measure, strokes: [...strokes].sort((a, b) => a.at - b.at) };
}

/** The stroke at a place, made by cutting the one that sounds over it (or filling up an empty place) where none starts there. */
function opened(measure: Measure, at: Ticks): { measure: Measure; index: number } {
  const { strokes } = measure;
  const there = strokes.findIndex((stroke) => stroke.at === at);
  if (there >= 0) return { measure, index: there };
  const covering = strokeIndexAt(measure, at);
  const next = strokes.find((stroke) => stroke.at > at)?.at ?? Math.max(measure.ticks, at);
  const over = covering === undefined ? undefined : strokes[covering];
  const end = over ? over.at + over.length : Math.max(next, at + measure.meter.slot);
  const cut = strokes.map((stroke, i) =>
    i === covering ? { ...stroke, length: at - stroke.at } : stroke,
  );
  const fresh: Stroke = { at, length: end - at, by: 'rest', notes: [] };
  const made = withStrokes(measure, [...cut, fresh]);
  return { measure: made, index: made.strokes.findIndex((stroke) => stroke.at === at) };
}

function withStroke(measure: Measure, index: number, change: Partial<Stroke>): Measure {
  return {
    ...measure,
    strokes: measure.strokes.map((stroke, i) => (i === index ? { ...stroke, ...change } : stroke)),
  };
}

/** Would this kind of stroke take so many strings? If not, the usual kind does. */
function fittingBy(measure: Measure, at: Ticks, by: By, notes: readonly Note[]): By {
  const many = by === 'brush' || by === 'chop';
  const fits = by !== 'rest' && (many ? notes.length > 1 : notes.length === 1);
  return fits ? by : usualBy(measure, at, notes);
}

/** A fret on a string at a place; a stroke is made there if none starts. The stroke's kind stays while it takes these strings. */
export function withNote(measure: Measure, at: Ticks, string: StringNumber, fret: Fret): Measure {
  const { measure: made, index } = opened(measure, at);
  const stroke = made.strokes[index];
  if (!stroke) return made;
  const others = stroke.notes.filter((note) => note.string !== string);
  const notes = [...others, { string, fret }].sort((a, b) => a.string - b.string);
  return withStroke(made, index, { notes, by: fittingBy(made, at, stroke.by, notes) });
}

/** Takes a string out of the stroke that starts at a place; with its last string the stroke goes, and the one before rings on. */
export function withoutNote(measure: Measure, at: Ticks, string: StringNumber): Measure {
  const index = measure.strokes.findIndex((stroke) => stroke.at === at);
  const stroke = measure.strokes[index];
  if (!stroke) return measure;
  const notes = stroke.notes.filter((note) => note.string !== string);
  if (notes.length === stroke.notes.length) return measure;
  if (notes.length === 0) return withoutStroke(measure, at);
  return withStroke(measure, index, { notes, by: fittingBy(measure, at, stroke.by, notes) });
}

/** Takes away the stroke that starts at a place; the one before lasts on over it, or a rest takes its place if it was the first. */
function withoutStroke(measure: Measure, at: Ticks): Measure {
  const index = measure.strokes.findIndex((stroke) => stroke.at === at);
  const stroke = measure.strokes[index];
  if (!stroke) return measure;
  const before = measure.strokes[index - 1];
  if (!before) return withStroke(measure, index, { by: 'rest', notes: [] });
  const longer = withStroke(measure, index - 1, { length: before.length + stroke.length });
  return { ...longer, strokes: longer.strokes.filter((_, i) => i !== index) };
}

/** Makes the stroke at a place one of another kind; a stroke is made there if none starts. A rest loses its strings. */
export function withBy(measure: Measure, at: Ticks, by: By, string: StringNumber): Measure {
  const { measure: made, index } = opened(measure, at);
  const stroke = made.strokes[index];
  if (!stroke) return made;
  if (by === 'rest') return withStroke(made, index, { by, notes: [] });
  return withStroke(made, index, { by, notes: notesFor(made, stroke, by, string) });
}

/** Strings for a kind of stroke that has none or too many or too few: a brush takes the open strings 1 to 3. */
function notesFor(measure: Measure, stroke: Stroke, by: By, string: StringNumber): readonly Note[] {
  const { notes } = stroke;
  if (by === 'brush' || by === 'chop') {
    if (notes.length > 1) return notes;
    const missing = ([1, 2, 3] as const).filter((s) => notes.every((note) => note.string !== s));
    return [...notes, ...missing.map((s) => ({ string: s, fret: 0 }))].sort(
      (a, b) => a.string - b.string,
    );
  }
  if (notes.length === 1) return notes;
  const kept = notes.find((note) => note.string === string) ?? notes[0];
  const onUp = usualBy(measure, stroke.at, [{ string, fret: 0 }]) === 'thumb';
  return [kept ?? { string: by === 'thumb' && onUp ? 5 : string, fret: 0 }];
}

/** Makes a stroke longer or shorter by so many ticks; all that follow move with it, so the measure may come to be too long or short. */
export function withLength(measure: Measure, index: number, by: Ticks): Measure {
  const stroke = measure.strokes[index];
  if (!stroke || stroke.length + by < 1) return measure;
  return {
    ...measure,
    strokes: measure.strokes.map((other, i) =>
      i < index
        ? other
        : i === index
          ? { ...other, length: other.length + by }
          : { ...other, at: other.at + by },
    ),
  };
}

/** Slots that an editor needs to show: those of the measure, and more where the strokes run over its end. */
export function slotCount(measure: Measure): number {
  const last = measure.strokes.at(-1);
  const end = Math.max(measure.ticks, last ? last.at + last.length : 0);
  return Math.ceil(end / measure.meter.slot);
}
