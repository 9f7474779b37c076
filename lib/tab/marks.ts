import { groupAt, handAt, slotAt, slotsIn } from '../rhythm';
import type { StringNumber } from '../units';
import type { Measure, Stroke } from './measure';
import { inBar } from './measure';

/** The letter that tab prints at a stroke: hammer, pull, slide, dropped thumb. */
export type MarkLetter = 'H' | 'P' | 'SL' | 'T';

/** What tab prints at one stroke beside its numbers. */
export interface StrokeMark {
  readonly letter?: MarkLetter;
  /**
   * For H, P and SL: index of the stroke that last sounded the string, where the slur begins. Absent where nothing in this
   * measure sounds it (a hammer from nowhere, or a note that rings over the bar line).
   */
  readonly from?: number;
}

function letterOf({ by, notes }: Stroke): MarkLetter | undefined {
  switch (by) {
    case 'hammer':
      return 'H';
    case 'pull':
    case 'pluck':
      return 'P';
    case 'slide':
      return 'SL';
    case 'thumb':
      return notes.some(({ string }) => string !== 5) ? 'T' : undefined;
    default:
      return undefined;
  }
}

/**
 * The marks of a measure, one for every stroke in order. Both the picture and the sentence are made from them. A
 * stopped brush ends what rang on its strings; a pluck has no string to come from.
 */
export function marksOf(measure: Pick<Measure, 'strokes'>): readonly StrokeMark[] {
  const sounding = new Map<StringNumber, number>();
  return measure.strokes.map((stroke, index) => {
    const letter = letterOf(stroke);
    const [note] = stroke.notes;
    const comesFrom = stroke.by === 'hammer' || stroke.by === 'pull' || stroke.by === 'slide';
    const from = comesFrom && note ? sounding.get(note.string) : undefined;
    for (const { string } of stroke.notes) {
      if (stroke.by === 'chop') sounding.delete(string);
      else sounding.set(string, index);
    }
    return { ...(letter === undefined ? {} : { letter }), ...(from === undefined ? {} : { from }) };
  });
}

/** What a measure can contain beside its plain strokes, as players say it, in the order of the first workshop. */
export const CONTENTS = [
  'hammer-on',
  'pull-off',
  'slide',
  'double thumbing',
  'drop thumbing',
  'hammer from nowhere',
  'alternate-string pull-off',
  'triplet',
  'skip',
  'stopped brush',
] as const;
export type Content = (typeof CONTENTS)[number];

/** The slot of a stroke in its bum-ditty and how many slots that has; undefined between slots or outside the measure. */
function placeOf(measure: Measure, stroke: Stroke) {
  const slot = slotAt(measure.meter, inBar(measure, stroke));
  if (slot === undefined || slot >= slotsIn(measure.meter)) return undefined;
  const group = groupAt(measure.meter, slot);
  return { slot, inGroup: slot - group.first, slots: group.slots };
}

/** The drone right after a finger stroke on the first slot, where the plain bum-ditty has nothing. */
function isDoubleThumb(measure: Measure, index: number): boolean {
  const stroke = measure.strokes[index];
  const before = measure.strokes[index - 1];
  if (stroke?.by !== 'thumb' || stroke.notes[0]?.string !== 5) return false;
  const place = placeOf(measure, stroke);
  const finger = before?.by === 'strike' || before?.by === 'brush';
  return (
    finger && place?.inGroup === 1 && place.slots === 4 && before.at + before.length === stroke.at
  );
}

/** A finger stroke that is left out at the start of a bum-ditty whose other slots sound. */
function isSkip(measure: Measure, index: number): boolean {
  const stroke = measure.strokes[index];
  const after = measure.strokes[index + 1];
  if (stroke?.by !== 'rest' || !after || after.by === 'rest') return false;
  const place = placeOf(measure, stroke);
  if (place === undefined || handAt(measure.meter, place.slot) === 'up') return false;
  return place.inGroup === 0 && stroke.length < place.slots * measure.meter.slot;
}

/** Does the stroke last a third of one or two slots? */
function isTripletNote(measure: Measure, stroke: Stroke): boolean {
  const { slot } = measure.meter;
  return stroke.length * 3 === slot * 2 || stroke.length * 3 === slot;
}

function contentsOf(measure: Measure, index: number, from: number | undefined): readonly Content[] {
  const stroke = measure.strokes[index];
  if (stroke === undefined) return [];
  const found: Content[] = [];
  if (stroke.by === 'hammer') found.push(from === undefined ? 'hammer from nowhere' : 'hammer-on');
  if (stroke.by === 'pull') found.push('pull-off');
  if (stroke.by === 'slide') found.push('slide');
  if (stroke.by === 'pluck') found.push('alternate-string pull-off');
  if (stroke.by === 'chop') found.push('stopped brush');
  if (letterOf(stroke) === 'T') found.push('drop thumbing');
  if (isDoubleThumb(measure, index)) found.push('double thumbing');
  if (isSkip(measure, index)) found.push('skip');
  const three = measure.strokes.slice(index, index + 3);
  if (
    three.length === 3 &&
    three.every((each) => isTripletNote(measure, each) && each.length === stroke.length)
  )
    found.push('triplet');
  return found;
}

/** The embellishments that a measure contains, each once, in the order of `CONTENTS`; empty for a plain one. */
export function containsOf(measure: Measure): readonly Content[] {
  const found = new Set(
    marksOf(measure).flatMap(({ from }, index) => contentsOf(measure, index, from)),
  );
  return CONTENTS.filter((content) => found.has(content));
}
