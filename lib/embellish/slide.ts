import type { Note } from '../tab/measure';
import type { Neck } from '../tuning';
import { openMidi } from '../tuning';
import type { Fret, StringNumber, Ticks } from '../units';
import { isStringNumber } from '../units';
import type { Family, Offer } from './family';
import type { LongNote, PlaceCode } from './place';
import { answerOf, longNoteAt, noteWords, refuse, refused, splitNote, strokeAt } from './place';

/** Why this family cannot be played at a stroke. */
type SlideCode = PlaceCode | 'open-string';

/** Frets that a slide crosses, the usual first. Source: one or two frets; common practice, no source. */
const CROSSED: readonly number[] = [2, 1];
/** A quick slide arrives after this part of a slot. Source: "just after the strike"; common practice, no source. */
const QUICK = 1 / 3;

/**
 * The place on the next lower string that sounds like this string open, if that is a fret. In gDGBD string 3 at fret 4
 * for string 2.
 */
export function unisonBelow(neck: Neck, string: StringNumber): Note | undefined {
  const below = string + 1;
  if (!isStringNumber(below) || below === 5) return undefined;
  const fret = openMidi(neck, string) - openMidi(neck, below);
  return fret > 0 ? { string: below, fret } : undefined;
}

function landsOnUnison(neck: Neck, { string, fret }: Note): boolean {
  const above = string - 1;
  return isStringNumber(above) && unisonBelow(neck, above)?.fret === fret;
}

/** Both frets of each slide that reaches the note, from below first, or none where the neck ends. */
function startsOf(fret: Fret): readonly Fret[] {
  return [...CROSSED.map((n) => fret - n), ...CROSSED.map((n) => fret + n)].filter((f) => f > 0);
}

/** Where a slide away from the note may end; onto the unison of the next open string first. */
function endsOf(neck: Neck, { string, fret }: Note): readonly Fret[] {
  const ends = [...CROSSED.map((n) => fret + n), ...CROSSED.map((n) => fret - n)];
  const unison = (end: Fret) => (landsOnUnison(neck, { string, fret: end }) ? 0 : 1);
  return ends.filter((end) => end > 0).sort((a, b) => unison(a) - unison(b));
}

/**
 * Slide: a note struck one or two frets away moves into its place while it rings, evenly (arriving in the next slot) or
 * quickly (just after the strike). A fretted note is reached or left; an open one is reached as its unison on the next
 * lower string (string 3 from 2 to 4 for string 2 in gDGBD).
 */
export const slide: Family = {
  id: 'slide',
  name: 'slide',
  letter: 'SL',
  words:
    'A note struck a fret or two away moves into its place while it rings; the finger keeps its pressure.',
  apply(measure, stroke, neck) {
    const long = longNoteAt(measure, stroke, neck);
    if (long.kind === 'refused') return refused(long);
    const asked = long.note;
    const note = asked.fret > 0 ? asked : unisonBelow(neck, asked.string);
    const { slot } = measure.meter;
    // A quick slide is over within the struck note's own slot, so that nothing after it gives way.
    const kept: LongNote = { ...long, length: strokeAt(measure, stroke).length, strokes: 1 };
    const offer = (from: Note, to: Note, after: Ticks, end: string): Offer => ({
      strokes: splitNote(measure, stroke, after < slot ? kept : long, from, {
        by: 'slide',
        notes: [to],
        after,
      }),
      words: `Strike ${noteWords(from)}, slide ${to.fret > from.fret ? 'up' : 'down'} to fret ${to.fret} ${end}.`,
    });
    const into = note && startsOf(note.fret);
    if (!note || !into || into.length === 0)
      return refused(
        refuse<SlideCode>(
          'open-string',
          stroke,
          'An open string cannot slide, and the next lower string has no fret that slides into the same note. Choose a fretted note.',
        ),
      );
    const unison = asked.fret === 0 ? `, the same note as string ${asked.string} open` : '';
    const reached = into.flatMap((from) => [
      offer({ ...note, fret: from }, note, slot, `in the next slot${unison}`),
      offer({ ...note, fret: from }, note, slot * QUICK, `at once${unison}`),
    ]);
    const left =
      asked.fret === 0
        ? []
        : endsOf(neck, asked).map((to) =>
            offer(asked, { ...asked, fret: to }, slot, 'in the next slot, away from the note'),
          );
    return answerOf(measure, stroke, neck, [...reached, ...left]);
  },
};
