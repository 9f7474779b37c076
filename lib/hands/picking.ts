import type { Problem } from '../result';
import { handAt, slotAt } from '../rhythm';
import type { Measure, Stroke } from '../tab/measure';
import { inBar, isPicked } from '../tab/measure';

export type PickingProblem = Problem<
  | 'thumb-on-down-slot'
  | 'finger-on-up-slot'
  | 'between-slots'
  | 'one-string-only'
  | 'brush-needs-strings'
  | 'thumb-on-first-string',
  { readonly stroke: number }
>;

function problemOf(measure: Measure, stroke: Stroke, index: number): PickingProblem | undefined {
  const { by, notes } = stroke;
  const where = { stroke: index };
  const nth = `Stroke ${index + 1}`;
  if (!isPicked(by)) return undefined;
  const slot = slotAt(measure.meter, inBar(measure, stroke));
  if (slot === undefined)
    return {
      code: 'between-slots',
      where,
      words: `${nth} falls between two motions of the picking hand. Move it to a slot.`,
    };
  const hand = handAt(measure.meter, slot);
  if (by === 'thumb' && hand === 'down')
    return {
      code: 'thumb-on-down-slot',
      where,
      words: `${nth} is a thumb on slot ${slot + 1}, where the hand goes down. Put the thumb one slot later, or strike here.`,
    };
  if (by !== 'thumb' && hand === 'up')
    return {
      code: 'finger-on-up-slot',
      where,
      words: `${nth} is a finger stroke on slot ${slot + 1}, where the hand comes up. Only the thumb or the fretting hand can sound here.`,
    };
  if ((by === 'strike' || by === 'thumb') && notes.length !== 1)
    return {
      code: 'one-string-only',
      where,
      words: `${nth} sounds ${notes.length} strings, but a ${by} takes one. Make it a brush or take strings away.`,
    };
  if (by === 'thumb' && notes[0]?.string === 1)
    return {
      code: 'thumb-on-first-string',
      where,
      words: `${nth} sends the thumb to string 1. The thumb plays strings 2 to 5.`,
    };
  if ((by === 'brush' || by === 'chop') && notes.length < 2)
    return {
      code: 'brush-needs-strings',
      where,
      words: `${nth} is a brush over one string. Add strings to it${by === 'brush' ? ' or make it a strike' : ''}.`,
    };
  return undefined;
}

/**
 * Does the picking hand alternate as it should: fingers on the way down, thumb on the way up, no stroke between?
 * One problem a stroke at most, in order.
 * Source: common practice, no source.
 */
export function checkPicking(measure: Measure): readonly PickingProblem[] {
  return measure.strokes.flatMap((stroke, index) => {
    const problem = problemOf(measure, stroke, index);
    return problem ? [problem] : [];
  });
}
