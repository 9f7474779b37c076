import type { Family, Offer } from './family';
import { neighboursOf } from './other-string';
import { answerOf, longNoteAt, noteWords, refused, splitNote } from './place';

/**
 * Alternate-string pull-off: in the slot after the strike a finger of the left hand plucks a neighbouring open string
 * that was not struck.
 */
export const alternatePullOff: Family = {
  id: 'alternate-pull-off',
  name: 'alternate-string pull-off',
  letter: 'AP',
  words: 'After the strike a finger of the left hand plucks another string that was not struck.',
  apply(measure, stroke, neck) {
    const long = longNoteAt(measure, stroke, neck);
    if (long.kind === 'refused') return refused(long);
    const offers = neighboursOf(long.note.string).map(
      (string): Offer => ({
        strokes: splitNote(measure, stroke, long, long.note, {
          by: 'pluck',
          notes: [{ string, fret: 0 }],
          after: measure.meter.slot,
        }),
        words: `Strike ${noteWords(long.note)}, pluck string ${string} open with the left hand.`,
      }),
    );
    return answerOf(measure, stroke, neck, offers);
  },
};
