import { handAt, slotAt } from '../rhythm';
import type { Measure, Note, Stroke } from '../tab/measure';
import { inBar } from '../tab/measure';
import type { StringNumber, Ticks } from '../units';
import { nextUpSlot } from './double-thumb';
import type { Family, Offer } from './family';
import { answerOf, brokenAt, refuse, refused, strokeAt, struckNote, withStrokes } from './place';

/** Strings that a brush crosses, the usual first. Source: mostly 1 to 3 or 1 to 4; common practice, no source. */
const SWEEPS: readonly (readonly StringNumber[])[] = [
  [1, 2, 3],
  [1, 2, 3, 4],
];

/** Ticks from the start of the measure to the next slot in which the hand goes down, if the stroke still lasts then. */
export function freeDownSlot(measure: Measure, stroke: Stroke): Ticks | undefined {
  const { meter } = measure;
  const slot = (slotAt(meter, inBar(measure, stroke)) ?? 0) + 1;
  const down = handAt(meter, slot) === 'down' ? slot : slot + 1;
  const at = down * meter.slot - measure.startsAt;
  return at < stroke.at + stroke.length ? at : undefined;
}

/**
 * The chord that a brush after this note sounds: what the measure brushes elsewhere, else open strings with the note
 * held on.
 */
function sweeps(measure: Measure, held: Note): readonly (readonly Note[])[] {
  const known = measure.strokes.find(({ by }) => by === 'brush')?.notes;
  const open = SWEEPS.filter((strings) => strings.includes(held.string));
  const shapes = open.map((strings) =>
    strings.map((string) => ({ string, fret: string === held.string ? held.fret : 0 })),
  );
  return known ? [known, ...shapes] : shapes;
}

/**
 * Added brush: a note that lasts past the next downward motion of the hand is filled with a strum there, and with the
 * thumb after it where there is room (strike, brush, thumb).
 */
export const addedBrush: Family = {
  id: 'added-brush',
  name: 'added brush',
  letter: 'B',
  words: 'A long note is filled with a strum on the next downward motion of the hand.',
  apply(measure, index, neck) {
    const stroke = strokeAt(measure, index);
    const broken = brokenAt(measure, index, neck);
    if (broken) return refused(broken);
    const struck = struckNote(stroke, index);
    if (struck.kind === 'refused') return refused(struck);
    const at = freeDownSlot(measure, stroke);
    if (at === undefined)
      return refused(
        refuse(
          'too-short',
          index,
          'This note ends before the hand goes down again. Make it longer, so that a brush fits in.',
        ),
      );
    const end = stroke.at + stroke.length;
    const offers = sweeps(measure, struck.note).flatMap((notes): readonly Offer[] => {
      const strike: Stroke = { ...stroke, length: at - stroke.at };
      const brush: Stroke = { at, length: end - at, by: 'brush', notes };
      const over = `strings ${notes[0]?.string} to ${notes.at(-1)?.string}`;
      const alone: Offer = {
        strokes: withStrokes(measure, index, 1, [strike, brush]),
        words: `Let the note ring, then brush over ${over}.`,
      };
      const up = nextUpSlot(measure, brush);
      if (up >= end) return [alone];
      const thumb: Stroke = {
        at: up,
        length: end - up,
        by: 'thumb',
        notes: [{ string: 5, fret: 0 }],
      };
      return [
        {
          strokes: withStrokes(measure, index, 1, [strike, { ...brush, length: up - at }, thumb]),
          words: `Let the note ring, then brush over ${over} and sound the drone.`,
        },
        alone,
      ];
    });
    return answerOf(measure, index, neck, offers);
  },
};
