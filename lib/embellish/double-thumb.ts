import { handAt, slotAt } from '../rhythm';
import type { Measure, Stroke } from '../tab/measure';
import { inBar } from '../tab/measure';
import type { Ticks } from '../units';
import type { Family, Offer, Refusal } from './family';
import type { PlaceCode } from './place';
import {
  answerOf,
  brokenAt,
  bumDittyOf,
  refuse,
  refused,
  strokeAt,
  strokeWords,
  withStrokes,
} from './place';

/** Why this family cannot be played at a stroke. */
type DoubleThumbCode = PlaceCode | 'thumb-already' | 'not-a-finger-stroke';

/**
 * Ticks from the start of the measure to the next slot in which the hand comes up, after a stroke that starts on a slot.
 */
export function nextUpSlot(measure: Measure, stroke: Stroke): Ticks {
  const { meter } = measure;
  const slot = (slotAt(meter, inBar(measure, stroke)) ?? 0) + 1;
  const up = handAt(meter, slot) === 'up' ? slot : slot + 1;
  return up * meter.slot - measure.startsAt;
}

/** The stroke cut short by a thumb on the open drone in the next up slot, or why there is no room. */
function thumbed(
  measure: Measure,
  index: number,
): readonly Stroke[] | (Refusal<DoubleThumbCode> & { readonly kind: 'refused' }) {
  const stroke = strokeAt(measure, index);
  const { at, length, by } = stroke;
  if (by !== 'strike' && by !== 'brush')
    return refuse<DoubleThumbCode>(
      'not-a-finger-stroke',
      index,
      `This is ${strokeWords(stroke)}. The second thumb follows a strike or a brush.`,
    );
  const up = nextUpSlot(measure, stroke);
  if (at + length > up)
    return [
      { ...stroke, length: up - at },
      { at: up, length: at + length - up, by: 'thumb', notes: [{ string: 5, fret: 0 }] },
    ];
  const next = measure.strokes.find((other) => other.at >= up);
  if (!next)
    return refuse<DoubleThumbCode>(
      'too-short',
      index,
      'The measure ends with this note. It needs room for the thumb after it: make it longer.',
    );
  if (next.at === up && next.by === 'thumb' && next.notes[0]?.string === 5)
    return refuse<DoubleThumbCode>(
      'thumb-already',
      index,
      'The thumb already sounds the drone after this stroke. Choose a stroke that lacks it.',
    );
  return refuse<DoubleThumbCode>(
    'slot-taken',
    index,
    `The slot where the hand comes up already has ${strokeWords(next)}. Take that away first.`,
  );
}

/** Thumbs after every finger stroke of this stroke's bum-ditty that has room for one. */
function thumbedGroup(measure: Measure, index: number): readonly Stroke[] {
  const { first } = bumDittyOf(measure, strokeAt(measure, index));
  return measure.strokes.flatMap((stroke, i) => {
    if (bumDittyOf(measure, stroke).first !== first) return [stroke];
    const fresh = thumbed(measure, i);
    return 'kind' in fresh ? [stroke] : fresh;
  });
}

/**
 * Double thumbing: the thumb sounds the drone after this finger stroke too, in the next slot in which the hand comes up.
 * A second offer does it after every finger stroke of the bum-ditty that lacks it.
 * In 6/8 the hand comes up once in three slots, so that there is one thumb a half.
 */
export const doubleThumb: Family = {
  id: 'double-thumb',
  name: 'double thumbing',
  letter: 'T',
  words:
    'The thumb sounds the drone after every finger stroke, so that it rings between the melody notes.',
  apply(measure, stroke, neck) {
    strokeAt(measure, stroke);
    const broken = brokenAt(measure, stroke, neck);
    if (broken) return refused(broken);
    const fresh = thumbed(measure, stroke);
    if ('kind' in fresh) return refused(fresh);
    const here: Offer = {
      strokes: withStrokes(measure, stroke, 1, fresh),
      words: 'Sound the drone with the thumb after this stroke.',
    };
    const all: Offer = {
      strokes: thumbedGroup(measure, stroke),
      words: 'Sound the drone with the thumb after every finger stroke of this bum-ditty.',
    };
    return answerOf(measure, stroke, neck, [here, all]);
  },
};
