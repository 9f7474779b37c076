import type { Neck } from '../tuning';
import { hasFret } from '../tuning';
import type { Fret } from '../units';
import type { Family, Offer } from './family';
import { answerOf, fretWords, longNoteAt, noteWords, refused, splitNote } from './place';

/**
 * Frets from the struck note to the hammered one, the usual first.
 * Source: 1 and 2 easy, up to 4 a reach; common practice, no source.
 */
const REACHES: readonly number[] = [2, 1, 3, 4];

/** Frets to strike before hammering into this one, the open string first where it is within reach. */
function startsBelow(fret: Fret): readonly Fret[] {
  const starts = REACHES.map((reach) => fret - reach).filter((start) => start >= 0);
  return starts.includes(0) ? [0, ...starts.filter((start) => start > 0)] : starts;
}

/** Frets to hammer to from this one. */
function targetsAbove(neck: Neck, string: 1 | 2 | 3 | 4 | 5, fret: Fret): readonly Fret[] {
  return REACHES.map((reach) => fret + reach).filter((target) => hasFret(neck, string, target));
}

/**
 * Hammer-on: a struck note, and in the slot after it a higher one on the same string. On an open string the note is left
 * (struck, then the ornament); a fretted note is first reached (struck lower, arrived at), then left.
 */
export const hammerOn: Family = {
  id: 'hammer-on',
  name: 'hammer-on',
  letter: 'H',
  words:
    'After the strike a finger of the left hand comes down hard higher up the same string and sounds it.',
  apply(measure, stroke, neck) {
    const long = longNoteAt(measure, stroke, neck);
    if (long.kind === 'refused') return refused(long);
    const { string, fret } = long.note;
    const offer = (from: Fret, to: Fret, words: string): Offer => ({
      strokes: splitNote(
        measure,
        stroke,
        long,
        { string, fret: from },
        { by: 'hammer', notes: [{ string, fret: to }], after: measure.meter.slot },
      ),
      words,
    });
    const reached = startsBelow(fret).map((from) =>
      offer(
        from,
        fret,
        `Strike ${noteWords({ string, fret: from })} and hammer on into the note at ${fretWords(fret)}.`,
      ),
    );
    const left = targetsAbove(neck, string, fret).map((to) =>
      offer(fret, to, `Strike ${noteWords(long.note)}, hammer on to ${fretWords(to)}.`),
    );
    return answerOf(measure, stroke, neck, [...reached, ...left]);
  },
};
