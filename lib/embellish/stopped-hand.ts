import { marksOf } from '../tab/marks';
import type { Stroke } from '../tab/measure';
import type { StringNumber } from '../units';
import { freeDownSlot } from './added-brush';
import type { Family } from './family';
import type { PlaceCode } from './place';
import { answerOf, brokenAt, refuse, refused, strokeAt, strokeWords, withStrokes } from './place';

/** Why this family cannot be played at a stroke. */
type StoppedHandCode = PlaceCode | 'nothing-to-stop' | 'rings-on';

/** The strings of a percussive brush where no other brush says which: 1 to 4. Source: common practice, no source. */
const LONG_STRINGS: readonly StringNumber[] = [1, 2, 3, 4];

/** Why a rest cannot become a stopped brush. */
const NOT_DOWN = 'The hand does not go down here, so it cannot brush. Choose a rest where it does.';

/**
 * Brush with a stopped hand: the left hand lies flat on the strings, so that the brush clicks instead of ringing. It
 * takes a brush's place, fills a rest on a downward motion, or stands in the middle of a long note. The frets of a
 * stopped string do not sound and are written 0.
 */
export const stoppedHand: Family = {
  id: 'stopped-hand',
  name: 'brush with a stopped hand',
  letter: 'X',
  words: 'The left hand lies flat on the strings while the right hand brushes, so that it clicks.',
  apply(measure, index, neck) {
    const stroke = strokeAt(measure, index);
    const broken = brokenAt(measure, index, neck);
    if (broken) return refused(broken);
    const at = stroke.by === 'strike' ? freeDownSlot(measure, stroke) : undefined;
    const instead = stroke.by === 'brush' || stroke.by === 'rest';
    if (!instead && at === undefined)
      return refused(
        refuse<StoppedHandCode>(
          'nothing-to-stop',
          index,
          `This is ${strokeWords(stroke)}. Choose a brush, a rest, or a strike that lasts past the next downward motion.`,
        ),
      );
    if (marksOf(measure).some(({ from }) => from === index))
      return refused(
        refuse<StoppedHandCode>(
          'rings-on',
          index,
          `What the left hand does next needs ${strokeWords(stroke)} to ring on. Choose a stroke that nothing is hammered, pulled or slid from.`,
        ),
      );
    const chop = (at: number, length: number, strings: readonly StringNumber[]): Stroke => ({
      at,
      length,
      by: 'chop',
      notes: strings.map((string) => ({ string, fret: 0 })),
    });
    if (at === undefined) {
      const strings =
        stroke.by === 'brush' ? stroke.notes.map((note) => note.string) : LONG_STRINGS;
      const stopped = {
        strokes: withStrokes(measure, index, 1, [chop(stroke.at, stroke.length, strings)]),
        words: `Lay the left hand flat on the strings and brush, instead of ${strokeWords(stroke)}.`,
      };
      return answerOf(measure, index, neck, [stopped], NOT_DOWN);
    }
    const end = stroke.at + stroke.length;
    return answerOf(measure, index, neck, [
      {
        strokes: withStrokes(measure, index, 1, [
          { ...stroke, length: at - stroke.at },
          chop(at, end - at, LONG_STRINGS),
        ]),
        words: 'Let the note ring, then lay the left hand flat on the strings and brush.',
      },
    ]);
  },
};
