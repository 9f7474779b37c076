import type { Measure, Stroke } from '../tab/measure';
import { nextUpSlot } from './double-thumb';
import type { Family, Offer } from './family';
import type { PlaceCode } from './place';
import {
  answerOf,
  brokenAt,
  noteWords,
  refuse,
  refused,
  strokeAt,
  strokeWords,
  withStrokes,
} from './place';

/** Why this family cannot be played at a stroke. */
type SkipCode = PlaceCode | 'not-a-finger-stroke' | 'nothing-carries';

/** The missed stroke followed by the sound of `late` from `at` to where the stroke ended. */
function missed(
  measure: Measure,
  index: number,
  late: Pick<Stroke, 'at' | 'by' | 'notes'>,
): readonly Stroke[] {
  const { at, length } = strokeAt(measure, index);
  return withStrokes(measure, index, 1, [
    { at, length: late.at - at, by: 'rest', notes: [] },
    { ...late, length: at + length - late.at },
  ]);
}

/** Ways in which the thumb or a finger of the left hand sounds late what this stroke would have sounded. */
function lateOffers(measure: Measure, index: number): readonly Offer[] {
  const { at, length, by, notes } = strokeAt(measure, index);
  const [note] = notes;
  const offers: Offer[] = [];
  const up = nextUpSlot(measure, { at, length, by, notes });
  const thumbed =
    by === 'strike' && note && note.string > 1 ? note : ({ string: 5, fret: 0 } as const);
  if (up < at + length)
    offers.push({
      strokes: missed(measure, index, { at: up, by: 'thumb', notes: [thumbed] }),
      words: `Miss this ${by}; the thumb comes in late on ${noteWords(thumbed)}.`,
    });
  const hammered = at + measure.meter.slot;
  if (by === 'strike' && note && note.fret > 0 && note.string < 5 && hammered < at + length)
    offers.push({
      strokes: missed(measure, index, { at: hammered, by: 'hammer', notes: [note] }),
      words: `Miss this strike; hammer ${noteWords(note)} late, without striking it.`,
    });
  return offers;
}

/** Why a stroke cannot be missed although its notes could come late or the next slot sounds. */
const NEEDED =
  'The stroke after this one comes from it, so it cannot be missed. Choose another stroke.';

/**
 * Skip: the hand goes down and misses, so that what sounds next carries the beat: the thumb, a hammer, or whatever
 * stands in the next slot already. The motion goes on; only the sound is left out.
 */
export const skip: Family = {
  id: 'skip',
  name: 'skip',
  letter: 'K',
  words:
    'The hand goes down and misses the strings, so that the thumb or a hammer carries the beat.',
  apply(measure, index, neck) {
    const stroke = strokeAt(measure, index);
    const broken = brokenAt(measure, index, neck);
    if (broken) return refused(broken);
    if (stroke.by !== 'strike' && stroke.by !== 'brush')
      return refused(
        refuse<SkipCode>(
          'not-a-finger-stroke',
          index,
          `This is ${strokeWords(stroke)}. Only a strike or a brush can be missed.`,
        ),
      );
    const late = lateOffers(measure, index);
    if (late.length > 0) return answerOf(measure, index, neck, late, NEEDED);
    const next = measure.strokes[index + 1];
    if (
      !next ||
      next.by === 'rest' ||
      next.by === 'strike' ||
      next.by === 'brush' ||
      next.by === 'chop'
    )
      return refused(
        refuse<SkipCode>(
          'nothing-carries',
          index,
          'After a missed stroke the thumb or the left hand has to sound in the next slot, and none does. Choose a longer note or one with a thumb after it.',
        ),
      );
    return answerOf(
      measure,
      index,
      neck,
      [
        {
          strokes: withStrokes(measure, index, 1, [{ ...stroke, by: 'rest', notes: [] }]),
          words: `Miss this ${stroke.by}; ${strokeWords(next)} carries the beat.`,
        },
      ],
      NEEDED,
    );
  },
};
