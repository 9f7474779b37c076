import type { Note } from '../tab/measure';
import type { Neck } from '../tuning';
import { hasFret } from '../tuning';
import type { Fret } from '../units';
import type { Family, Offer } from './family';
import { neighboursOf } from './other-string';
import { answerOf, longNoteAt, noteWords, refused, splitNote } from './place';

/** Frets of a hand at the nut, the usual first. Source: common practice, no source. */
const AT_THE_NUT: readonly Fret[] = [2, 1, 3, 4];
/**
 * Frets beside a stopped one that lie under the same hand, the usual first.
 * Source: a hand of four frets; common practice, no source.
 */
const BESIDE: readonly number[] = [0, 2, 1, -1];

function landings(neck: Neck, struck: Note): readonly Note[] {
  const frets = struck.fret <= 4 ? AT_THE_NUT : BESIDE.map((step) => struck.fret + step);
  return neighboursOf(struck.string).flatMap((string) =>
    frets.filter((fret) => hasFret(neck, string, fret)).map((fret) => ({ string, fret })),
  );
}

/**
 * Hammer from nowhere: in the slot after the strike a finger comes down on a neighbouring string that was not struck,
 * hard enough to sound it.
 */
export const hammerFromNowhere: Family = {
  id: 'hammer-from-nowhere',
  name: 'hammer from nowhere',
  letter: 'HN',
  words:
    'After the strike a finger of the left hand comes down hard on another string and sounds it.',
  apply(measure, stroke, neck) {
    const long = longNoteAt(measure, stroke, neck);
    if (long.kind === 'refused') return refused(long);
    const { note } = long;
    const offers = landings(neck, note).map(
      (landing): Offer => ({
        strokes: splitNote(measure, stroke, long, note, {
          by: 'hammer',
          notes: [landing],
          after: measure.meter.slot,
        }),
        words: `Strike ${noteWords(note)}, hammer ${noteWords(landing)} without striking it.`,
      }),
    );
    return answerOf(measure, stroke, neck, offers);
  },
};
