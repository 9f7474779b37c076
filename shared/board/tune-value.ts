import * as v from 'valibot';
import type { Part, PlainMeasure, Tune } from '../../lib/tune';
import * as values from './values';

/** A whole tune as one plain value: in saved boards, and beside what is played. */

const MAX_PARTS = 26;

/** A plain measure with its name. */
export const plainValue = v.object({
  id: values.measureKey,
  ...v.omit(values.measureValue, ['part', 'place']).entries,
});

const part = v.object({
  letter: values.measureValue.entries.part,
  measures: v.pipe(v.array(plainValue), v.minLength(1), v.maxLength(values.MAX_MEASURES)),
});

/** A measure without what is absent in it. */
export function plainFrom({
  chord,
  chords,
  endings,
  ...one
}: v.InferOutput<typeof plainValue>): PlainMeasure {
  return {
    ...one,
    ...(chord === undefined ? {} : { chord }),
    ...(chords === undefined ? {} : { chords }),
    ...(endings === undefined ? {} : { endings }),
  };
}

function partFrom({ letter, measures }: v.InferOutput<typeof part>): Part {
  return { letter, measures: measures.map(plainFrom) };
}

export const tuneValue = v.pipe(
  v.intersect([
    values.headValue,
    v.object({ parts: v.pipe(v.array(part), v.minLength(1), v.maxLength(MAX_PARTS)) }),
  ]),
  v.transform(({ parts, ...head }): Tune => ({ ...head, parts: parts.map(partFrom) })),
);

/** A tune as the value that `tuneValue` reads. */
export function tuneValueOf({ neck, meter, ...tune }: Tune) {
  const { tuning, capo, drone } = neck;
  return { ...tune, tuning: tuning.id, capo, drone, meter: meter.name };
}
