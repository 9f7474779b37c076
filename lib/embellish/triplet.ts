import type { By, Measure, Stroke } from '../tab/measure';
import type { Neck } from '../tuning';
import { hasFret } from '../tuning';
import type { Fret } from '../units';
import type { Family, Offer } from './family';
import type { LongNote } from './place';
import { answerOf, fretWords, longNoteAt, noteWords, refused, withStrokes } from './place';

/** Frets up to the middle note, the usual first. Source: 1 and 2 easy, 3 a reach; common practice, no source. */
const REACHES: readonly number[] = [2, 1, 3];

/** Three even sounds in the time of two slots, the last one until the note ends. */
function three(
  measure: Measure,
  index: number,
  long: LongNote,
  middle: Fret,
  by: readonly [By, By],
): readonly Stroke[] {
  const { at, length, note, strokes } = long;
  const third = (2 * measure.meter.slot) / 3;
  const last = { at: at + 2 * third, length: length - 2 * third, by: by[1], notes: [note] };
  return withStrokes(measure, index, strokes, [
    { at, length: third, by: 'strike', notes: [note] },
    { at: at + third, length: third, by: by[0], notes: [{ ...note, fret: middle }] },
    last,
  ]);
}

function middlesOf(neck: Neck, { note }: LongNote): readonly Fret[] {
  return REACHES.map((reach) => note.fret + reach).filter((fret) =>
    hasFret(neck, note.string, fret),
  );
}

/**
 * Triplet: strike, hammer and pull in the time of two slots, so that the note comes back on the third sound. On a fretted
 * note also strike, pull, hammer.
 */
export const triplet: Family = {
  id: 'triplet',
  name: 'triplet',
  letter: '3',
  words: 'Strike, hammer on and pull off, three even sounds in the time of two slots.',
  apply(measure, stroke, neck) {
    const long = longNoteAt(measure, stroke, neck);
    if (long.kind === 'refused') return refused(long);
    const { note } = long;
    const up = middlesOf(neck, long).map(
      (middle): Offer => ({
        strokes: three(measure, stroke, long, middle, ['hammer', 'pull']),
        words: `Strike ${noteWords(note)}, hammer on to ${fretWords(middle)} and pull off again, in even thirds of two slots.`,
      }),
    );
    const lower = [0, ...REACHES.map((reach) => note.fret - reach)].filter((fret) => fret >= 0);
    const down =
      note.fret === 0
        ? []
        : [...new Set(lower)].map(
            (middle): Offer => ({
              strokes: three(measure, stroke, long, middle, ['pull', 'hammer']),
              words: `Strike ${noteWords(note)}, pull off to ${fretWords(middle)} and hammer on again, in even thirds of two slots.`,
            }),
          );
    return answerOf(measure, stroke, neck, [...up, ...down]);
  },
};
