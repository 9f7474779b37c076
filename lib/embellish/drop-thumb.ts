import type { Measure, Note, Stroke } from '../tab/measure';
import type { Neck } from '../tuning';
import type { Fret, StringNumber, Ticks } from '../units';
import { nextUpSlot } from './double-thumb';
import type { Answer, Family, Offer } from './family';
import type { PlaceCode } from './place';
import {
  answerOf,
  brokenAt,
  bumDittyOf,
  noteWords,
  refuse,
  refused,
  strokeAt,
  strokeWords,
  struckNote,
  withStrokes,
} from './place';

/** Why this family cannot be played at a stroke. */
type DropThumbCode = PlaceCode | 'no-inner-string';

const INNER: readonly StringNumber[] = [2, 3, 4];
/**
 * Frets up or down from the struck note that lie under the hand.
 * Source: one finger a fret, four frets; common practice, no source.
 */
const HAND = 3;

/** The inner strings on the bass side of a struck one, the next one first. */
export function innerBelow(struck: Note): readonly StringNumber[] {
  return INNER.filter((string) => string > struck.string);
}

/** Where the thumb can drop in, and which strokes that changes. */
interface Room {
  readonly kind: 'room';
  readonly up: Ticks;
  /** End of the thumb's note. */
  readonly until: Ticks;
  /** Strokes that strike and thumb stand for, from the strike on. */
  readonly strokes: number;
}

/**
 * Room for the thumb: the strike rings through the next up slot, or the thumb sounds the drone there anyway and can
 * leave it. In 6/8 a brush between the strike and that slot gives way, as it does for the left hand's notes.
 */
function roomAfter(measure: Measure, index: number) {
  const stroke = strokeAt(measure, index);
  const up = nextUpSlot(measure, stroke);
  const end = stroke.at + stroke.length;
  if (end > up) return { kind: 'room', up, until: end, strokes: 1 } as const;
  const rest = measure.strokes.slice(index + 1);
  const gives = measure.meter.name === '6/8' && rest[0]?.by === 'brush' && end < up;
  const brushEnd = gives && rest[0] ? rest[0].at + rest[0].length : end;
  if (gives && brushEnd > up) return { kind: 'room', up, until: brushEnd, strokes: 2 } as const;
  const next = gives ? rest[1] : rest[0];
  if (!next)
    return refuse<DropThumbCode>(
      'too-short',
      index,
      'The measure ends with this note. It needs room for the thumb after it: make it longer.',
    );
  if (next.by === 'thumb' && next.at === up && next.notes[0]?.string === 5)
    return { kind: 'room', up, until: next.at + next.length, strokes: gives ? 3 : 2 } as const;
  return refuse<DropThumbCode>(
    'slot-taken',
    index,
    `The slot where the thumb would drop in already has ${strokeWords(next)}. Take that away, so that the strike lasts two slots.`,
  );
}

/**
 * Notes for the thumb on the bass side of the struck one, the next string first: each string open, then the frets that
 * the measure uses on it anyway and that lie under the hand.
 */
function drops(measure: Measure, struck: Note): readonly Note[] {
  const strings = innerBelow(struck);
  const near = ({ fret }: Note) => struck.fret === 0 || Math.abs(fret - struck.fret) <= HAND;
  const used = measure.strokes.flatMap(({ notes }) => notes).filter(near);
  const frets = (string: StringNumber): readonly Fret[] => [
    ...new Set(used.filter((note) => note.string === string && note.fret > 0).map((n) => n.fret)),
  ];
  return [
    ...strings.map((string) => ({ string, fret: 0 })),
    ...strings.flatMap((string) => frets(string).map((fret) => ({ string, fret }))),
  ];
}

/** The thumb on this note after the strike; whether it can be played is for the caller to ask. */
function dropped(measure: Measure, index: number, room: Room, note: Note): readonly Stroke[] {
  const stroke = strokeAt(measure, index);
  return withStrokes(measure, index, room.strokes, [
    { ...stroke, length: room.up - stroke.at },
    { at: room.up, length: room.until - room.up, by: 'thumb', notes: [note] },
  ]);
}

/** The same with the brush that follows struck as the note before it again: 1 2 1 5 instead of 1 2 brush 5. */
function restruck(
  measure: Measure,
  index: number,
  room: Room,
  strokes: readonly Stroke[],
): readonly Stroke[] | undefined {
  const brush = strokes[index + 2];
  const { slot } = measure.meter;
  if (measure.meter.name === '6/8' || brush?.by !== 'brush' || brush.at !== room.up + slot)
    return undefined;
  const stroke = strokeAt(measure, index);
  if (bumDittyOf(measure, stroke).first !== bumDittyOf(measure, brush).first) return undefined;
  const struck = stroke.notes;
  return strokes.map((stroke) =>
    stroke === brush ? { ...stroke, by: 'strike', notes: struck } : stroke,
  );
}

/**
 * Drop thumbing onto the notes that `wanted` names for a struck one, where the family itself could be played: for who
 * knows the chord. Those on other strings than the inner ones on the bass side are left out.
 */
export function dropThumbOnto(
  measure: Measure,
  stroke: number,
  neck: Neck,
  wanted: (struck: Note) => readonly Note[],
): Answer {
  const struck = struckNote(strokeAt(measure, stroke), stroke);
  const broken = brokenAt(measure, stroke, neck);
  if (broken) return refused(broken);
  if (struck.kind === 'refused') return refused(struck);
  const { note } = struck;
  if (note.string === 4)
    return refused(
      refuse<DropThumbCode>(
        'no-inner-string',
        stroke,
        'On the bass side of string 4 there is no inner string for the thumb. Choose a strike on strings 1 to 3.',
      ),
    );
  const room = roomAfter(measure, stroke);
  if (room.kind === 'refused') return refused(room);
  const targets = wanted(note).filter(({ string }) => innerBelow(note).includes(string));
  const offers = targets.flatMap((target): readonly Offer[] => {
    const strokes = dropped(measure, stroke, room, target);
    const words = `Strike ${noteWords(note)}, drop the thumb to ${noteWords(target)}`;
    const again = restruck(measure, stroke, room, strokes);
    const kept = { strokes, words: `${words}.` };
    if (!again) return [kept];
    return [{ strokes: again, words: `${words}, and strike again instead of the brush.` }, kept];
  });
  return answerOf(measure, stroke, neck, offers);
}

/**
 * Drop thumbing: after the strike the thumb plays an inner string on the bass side of it, in the next slot in which the
 * hand comes up, and goes back to the drone. Usually the finger strikes again instead of the brush (1 2 1 5).
 */
export const dropThumb: Family = {
  id: 'drop-thumb',
  name: 'drop thumbing',
  letter: 'D',
  words:
    'The thumb leaves the drone, plays an inner string on the bass side of the one just struck, and goes back.',
  apply: (measure, stroke, neck) =>
    dropThumbOnto(measure, stroke, neck, (struck) => drops(measure, struck)),
};
