import { problemsOf } from '../judge';
import { groupAt, slotsIn } from '../rhythm';
import type { Measure, Note, Stroke } from '../tab/measure';
import { inBar, sameStrokes } from '../tab/measure';
import type { Neck } from '../tuning';
import type { Ticks } from '../units';
import { assertNever } from '../units';
import type { Answer, Offer, Refusal } from './family';

/** Why no embellishment fits a stroke, whichever family asks. */
export type PlaceCode =
  | 'measure-broken'
  | 'not-a-strike'
  | 'on-the-drone'
  | 'slot-taken'
  | 'too-short'
  | 'nothing-fits';

/** A struck note with a free slot after it: the place where one bum-ditty gets one more note. */
export interface LongNote {
  readonly kind: 'long';
  readonly note: Note;
  readonly at: Ticks;
  /** How long the note can last: its own length, in 6/8 the brush's too where that gives way. */
  readonly length: Ticks;
  /** How many strokes of the measure it stands for, from the stroke that was asked about: 2 where a brush gives way. */
  readonly strokes: 1 | 2;
}

type Refused = Refusal<PlaceCode> & { readonly kind: 'refused' };

export function refuse<Code extends string>(
  code: Code,
  stroke: number,
  words: string,
): Refusal<Code> & { readonly kind: 'refused' } {
  return { kind: 'refused', code, where: { stroke }, words };
}

/**
 * The stroke that was asked about.
 * @throws RangeError if the measure has no such stroke
 */
export function strokeAt(measure: Measure, index: number): Stroke {
  const stroke = measure.strokes[index];
  if (!stroke)
    throw new RangeError(`no stroke ${index} in a measure of ${measure.strokes.length} strokes`);
  return stroke;
}

/** The bum-ditty in which the stroke starts: its first slot counted from the bar line, and its slots. */
export function bumDittyOf(
  measure: Measure,
  stroke: Stroke,
): { readonly first: number; readonly slots: number } {
  const { meter } = measure;
  const slots = slotsIn(meter);
  const slot = Math.floor(inBar(measure, stroke) / meter.slot);
  const bars = Math.floor(slot / slots) * slots;
  const group = groupAt(meter, slot - bars);
  return { first: bars + group.first, slots: group.slots };
}

/** "the thumb on string 5", "a brush": what stands in the way. */
export function strokeWords({ by, notes }: Stroke): string {
  const string = notes[0]?.string ?? '';
  switch (by) {
    case 'strike':
      return `a strike on string ${string}`;
    case 'thumb':
      return `the thumb on string ${string}`;
    case 'brush':
      return 'a brush';
    case 'hammer':
      return 'a hammer-on';
    case 'pull':
      return 'a pull-off';
    case 'slide':
      return 'a slide';
    case 'pluck':
      return 'a left-hand pluck';
    case 'chop':
      return 'a brush with a stopped hand';
    case 'rest':
      return 'a rest';
    default:
      return assertNever(by);
  }
}

/** "string 3 open", "string 3 at fret 2". */
export function noteWords({ string, fret }: Note): string {
  return fret === 0 ? `string ${string} open` : `string ${string} at fret ${fret}`;
}

/** "fret 2", "the open string". */
export function fretWords(fret: number): string {
  return fret === 0 ? 'the open string' : `fret ${fret}`;
}

/** Why nothing can be offered before the measure itself is in order; undefined when it is. */
export function brokenAt(measure: Measure, index: number, neck: Neck): Refused | undefined {
  const [first] = problemsOf(measure, neck);
  return first && refuse('measure-broken', index, `Mend the measure first. ${first.words}`);
}

/**
 * The long note that the stroke starts: a strike on strings 1 to 4 that is heard for two slots or more. In 6/8, where
 * strike, brush and thumb have a slot each, the brush after a strike gives way and the struck note lasts through its
 * slot: that is where a player puts the left hand's note in jig time.
 * Source: common practice, no source.
 */
export function longNoteAt(measure: Measure, index: number, neck: Neck): LongNote | Refused {
  const stroke = strokeAt(measure, index);
  const broken = brokenAt(measure, index, neck);
  if (broken) return broken;
  const struck = struckNote(stroke, index);
  if (struck.kind === 'refused') return struck;
  const { slot, name } = measure.meter;
  const { at, length } = stroke;
  if (length >= 2 * slot) return { kind: 'long', note: struck.note, at, length, strokes: 1 };
  const next = measure.strokes[index + 1];
  if (!next)
    return refuse(
      'too-short',
      index,
      'The measure ends with this note. It needs two slots: make it longer.',
    );
  if (name === '6/8' && next.by === 'brush' && length === slot)
    return { kind: 'long', note: struck.note, at, length: length + next.length, strokes: 2 };
  return refuse(
    'slot-taken',
    index,
    `The slot after this strike already has ${strokeWords(next)}. Take that away, so that the strike lasts two slots.`,
  );
}

/** The one note of a strike on strings 1 to 4, or why the stroke is not one. */
export function struckNote(
  stroke: Stroke,
  index: number,
): { readonly kind: 'struck'; readonly note: Note } | Refused {
  const [note] = stroke.notes;
  if (stroke.by !== 'strike' || !note)
    return refuse(
      'not-a-strike',
      index,
      `This is ${strokeWords(stroke)}. Choose a strike on a single string.`,
    );
  if (note.string === 5)
    return refuse(
      'on-the-drone',
      index,
      'This strikes the drone, which rings open. Choose a strike on strings 1 to 4.',
    );
  return { kind: 'struck', note };
}

/** The measure's strokes with `fresh` in the place of `count` strokes from `index`. */
export function withStrokes(
  measure: Measure,
  index: number,
  count: number,
  fresh: readonly Stroke[],
): readonly Stroke[] {
  return [...measure.strokes.slice(0, index), ...fresh, ...measure.strokes.slice(index + count)];
}

/** A long note split into the strike and one sound of the fretting hand that lasts to its end. */
export function splitNote(
  measure: Measure,
  index: number,
  long: LongNote,
  struck: Note,
  then: Pick<Stroke, 'by' | 'notes'> & { readonly after: Ticks },
): readonly Stroke[] {
  const { at, length, strokes } = long;
  const { after, by, notes } = then;
  return withStrokes(measure, index, strokes, [
    { at, length: after, by: 'strike', notes: [struck] },
    { at: at + after, length: length - after, by, notes },
  ]);
}

const NOTHING_FITS =
  'No fret within reach fits here together with the strokes around it. Try another stroke.';

/**
 * What of the candidates can be played and differs from the measure and from those before it; a refusal if nothing is
 * left, in these words.
 */
export function answerOf(
  measure: Measure,
  index: number,
  neck: Neck,
  candidates: readonly Offer[],
  otherwise = NOTHING_FITS,
): Answer {
  const offers: Offer[] = [];
  for (const offer of candidates) {
    const known = [measure.strokes, ...offers.map(({ strokes }) => strokes)];
    if (known.some((strokes) => sameStrokes(strokes, offer.strokes))) continue;
    if (problemsOf({ ...measure, strokes: offer.strokes }, neck).length === 0) offers.push(offer);
  }
  if (offers.length > 0) return { offers, refusals: [] };
  return refused(refuse('nothing-fits', index, otherwise));
}

export function refused({ code, where, words }: Refusal): Answer {
  return { offers: [], refusals: [{ code, where, words }] };
}
