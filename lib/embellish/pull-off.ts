import type { Fret } from '../units';
import type { Family, Offer } from './family';
import { answerOf, fretWords, longNoteAt, noteWords, refused, splitNote } from './place';

/**
 * Frets between two fingers that lie on one string together.
 * Source: a hand of four frets and one more; common practice, no source.
 */
const REACHES: readonly number[] = [2, 1, 3, 4];

/** Frets to pull off to from this one: the open string first, which needs no second finger. */
function targetsBelow(fret: Fret): readonly Fret[] {
  if (fret === 0) return [];
  return [0, ...REACHES.map((reach) => fret - reach).filter((target) => target > 0)];
}

/**
 * Pull-off: a fretted note is struck and in the slot after it the finger plucks the string as it leaves, down to a lower
 * note. A fretted note is left (struck, pulled off) or reached (struck higher, pulled off to it); an open one can only
 * be reached.
 */
export const pullOff: Family = {
  id: 'pull-off',
  name: 'pull-off',
  letter: 'P',
  words:
    'After the strike the finger leaves its fret and plucks the string on its way, down to a lower note.',
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
        { by: 'pull', notes: [{ string, fret: to }], after: measure.meter.slot },
      ),
      words,
    });
    const left = targetsBelow(fret).map((to) =>
      offer(fret, to, `Strike ${noteWords(long.note)}, pull off to ${fretWords(to)}.`),
    );
    const reached = REACHES.map((reach) => fret + reach).map((from) =>
      offer(
        from,
        fret,
        `Strike ${noteWords({ string, fret: from })} and pull off into the note, ${fretWords(fret)}.`,
      ),
    );
    return answerOf(measure, stroke, neck, [...left, ...reached]);
  },
};
