import { fingerprint, strokesText } from '../tab/hash';
import type { Stroke } from '../tab/measure';
import type { PlainMeasure } from '../tune';
import { chordFields, chordsOf } from '../tune';
import type { MeasureId, Ticks } from '../units';

/** Pieces of measures: what a split, a join or another length makes of strokes, chords and marks, and what the results are called. */

export function restStroke(at: Ticks, end: Ticks): Stroke {
  return { at, length: end - at, by: 'rest', notes: [] };
}

/** Strokes of a stretch of a measure, from its own start. A stroke that sounds into it is a rest there; its end is cut off. */
function strokesBetween(strokes: readonly Stroke[], from: Ticks, to: Ticks): readonly Stroke[] {
  return strokes.flatMap((stroke): readonly Stroke[] => {
    const [start, end] = [Math.max(stroke.at, from), Math.min(stroke.at + stroke.length, to)];
    if (start >= end) return [];
    if (stroke.at < from) return [restStroke(0, end - from)];
    return [{ ...stroke, at: start - from, length: end - start }];
  });
}

/** A stretch of a measure as a measure of its own, under another id. */
export function pieceOf(whole: PlainMeasure, id: MeasureId, from: Ticks, to: Ticks): PlainMeasure {
  const { chord: _, chords: __, ...rest } = whole;
  const inside = ({ at }: { readonly at: Ticks }) => at >= from && at < to;
  const chords = chordsOf(whole).filter(inside);
  return {
    ...rest,
    id,
    startsAt: whole.startsAt + from,
    ticks: to - from,
    strokes: strokesBetween(whole.strokes, from, to),
    ...chordFields(chords.map((change) => ({ ...change, at: change.at - from }))),
    melody: whole.melody.filter((at) => inside({ at })).map((at) => at - from),
  };
}

/** Two measures as one, under another id; the second begins where the first ends. */
export function joinOf(a: PlainMeasure, b: PlainMeasure, id: MeasureId): PlainMeasure {
  const { chord: _, chords: __, ...rest } = a;
  const chords = chordsOf(b).map((change) => ({ ...change, at: change.at + a.ticks }));
  return {
    ...rest,
    id,
    ticks: a.ticks + b.ticks,
    strokes: [...a.strokes, ...b.strokes.map((one) => ({ ...one, at: one.at + a.ticks }))],
    ...chordFields([...chordsOf(a), ...chords]),
    melody: [...a.melody, ...b.melody.map((at) => at + a.ticks)],
  };
}

/** A measure with its end cut off, or with a rest at its end. */
export function lengthened(measure: PlainMeasure, id: MeasureId, ticks: Ticks): PlainMeasure {
  if (ticks <= measure.ticks) return pieceOf(measure, id, 0, ticks);
  const strokes = [...measure.strokes, restStroke(measure.ticks, ticks)];
  return { ...measure, id, ticks, strokes };
}

function named(text: string): MeasureId {
  return `m${fingerprint(text)}` as MeasureId;
}

/**
 * What the two pieces of a measure are called. Names follow from what they are made of, so that the same split gives the same two measures
 * again, with their variants, and two leaders who split at once make one split.
 */
export function splitIds(id: MeasureId, at: Ticks): readonly [MeasureId, MeasureId] {
  return [named(`split ${id} ${at} 1`), named(`split ${id} ${at} 2`)];
}

export function joinedId(a: MeasureId, b: MeasureId): MeasureId {
  return named(`join ${a} ${b}`);
}

export function lengthId(id: MeasureId, ticks: Ticks): MeasureId {
  return named(`length ${id} ${ticks}`);
}

/** Do two measures hold the same music, whatever they are called? */
export function sameMusic(a: PlainMeasure, b: PlainMeasure): boolean {
  const content = ({ id: _, startsAt, ticks, strokes, melody, endings, ...chords }: PlainMeasure) =>
    JSON.stringify([
      startsAt,
      ticks,
      strokesText(strokes),
      melody,
      endings ?? [],
      chordsOf(chords),
    ]);
  return content(a) === content(b);
}
