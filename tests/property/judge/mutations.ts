import type { MeasureProblem } from '../../../lib/judge';
import { handAt, slotAt } from '../../../lib/rhythm';
import type { By, Measure, Note, Stroke } from '../../../lib/tab/measure';
import { inBar } from '../../../lib/tab/measure';
import type { Neck } from '../../../lib/tuning';
import { hasFret } from '../../../lib/tuning';
import type { StringNumber } from '../../../lib/units';
import { STRINGS } from '../../../lib/units';

/** A measure that can no longer be played, and what is to be said of it where. */
export interface Spoilt {
  readonly strokes: readonly Stroke[];
  readonly code: MeasureProblem['code'];
  /** Index among the spoilt strokes; absent where the whole measure is meant. */
  readonly stroke?: number;
}

/** A way to spoil a legal measure at a stroke; undefined where it does not apply there. */
export type Mutation = (measure: Measure, index: number, neck: Neck) => Spoilt | undefined;

/** The stroke with other fields, the rest as it was. */
function changed(
  { strokes }: Measure,
  index: number,
  fields: Partial<Stroke>,
  code: Spoilt['code'],
): Spoilt {
  return {
    strokes: strokes.map((stroke, i) => (i === index ? { ...stroke, ...fields } : stroke)),
    code,
    stroke: index,
  };
}

/** Applies to strokes of these kinds only. */
function on(
  kinds: readonly By[],
  spoil: (stroke: Stroke, ...rest: Parameters<Mutation>) => ReturnType<Mutation>,
): Mutation {
  return (measure, index, neck) => {
    const stroke = measure.strokes[index];
    return stroke && kinds.includes(stroke.by) ? spoil(stroke, measure, index, neck) : undefined;
  };
}

/** The border between a stroke and the one before it moved by some ticks, if both keep some of their time. */
function borderMoved(
  measure: Measure,
  index: number,
  ticks: number,
): readonly Stroke[] | undefined {
  const before = measure.strokes[index - 1];
  const stroke = measure.strokes[index];
  if (!before || !stroke || before.length + ticks <= 0 || stroke.length - ticks <= 0)
    return undefined;
  return measure.strokes.map((each, i) => {
    if (i === index - 1) return { ...each, length: each.length + ticks };
    return i === index ? { ...each, at: each.at + ticks, length: each.length - ticks } : each;
  });
}

/** Which way the hand moves where a stroke begins; undefined between slots. */
function handOf(measure: Measure, stroke: Stroke | undefined) {
  const slot = stroke && slotAt(measure.meter, inBar(measure, stroke));
  return slot === undefined ? undefined : handAt(measure.meter, slot);
}

/** The picking stroke moved to another slot, if the hand goes that way there. */
function moved(
  measure: Measure,
  index: number,
  slots: number,
  hand: 'down' | 'up',
): Spoilt | undefined {
  const strokes = borderMoved(measure, index, slots * measure.meter.slot);
  if (!strokes || handOf(measure, strokes[index]) !== hand) return undefined;
  return {
    strokes,
    stroke: index,
    code: hand === 'down' ? 'thumb-on-down-slot' : 'finger-on-up-slot',
  };
}

/** What a string was last stopped at before a stroke, told without the module that asks the same. */
function lastOn(
  { strokes }: Measure,
  index: number,
  string: StringNumber | undefined,
): Note | undefined {
  return strokes
    .slice(0, index)
    .flatMap(({ notes }) => notes)
    .filter((note) => note.string === string)
    .at(-1);
}

/** The note that a hammer, pull or slide comes from, made open, if the stroke right before struck it alone. */
function fromOpen(measure: Measure, index: number, code: Spoilt['code']): Spoilt | undefined {
  const before = measure.strokes[index - 1];
  const [note, ...more] = before?.notes ?? [];
  const own = measure.strokes[index]?.notes[0];
  if (!note || before?.by !== 'strike' || more.length > 0 || note.string !== own?.string)
    return undefined;
  return {
    ...changed(measure, index - 1, { notes: [{ ...note, fret: 0 }] }, code),
    stroke: index,
  };
}

/** The only note at another fret. */
function refretted(
  measure: Measure,
  index: number,
  fret: number,
  code: Spoilt['code'],
): Spoilt | undefined {
  const [note] = measure.strokes[index]?.notes ?? [];
  return note && changed(measure, index, { notes: [{ ...note, fret }] }, code);
}

/** The only note on a string that nothing in the measure has sounded so far. */
function onSilent(
  measure: Measure,
  index: number,
  fret: number,
  code: Spoilt['code'],
): Spoilt | undefined {
  const silent = STRINGS.find((string) => string < 5 && !lastOn(measure, index, string));
  return silent && changed(measure, index, { notes: [{ string: silent, fret }] }, code);
}

/** One more open string beside the only note. */
function doubled({ notes }: Stroke): readonly Note[] {
  const [note] = notes;
  const beside: StringNumber = note?.string === 1 ? 2 : 1;
  return [...notes, { string: beside, fret: 0 }].sort((a, b) => a.string - b.string);
}

/** How many ticks more or less, and what is said: of the next stroke, or of the last one where the measure ends. */
function lasting(measure: Measure, index: number, ticks: number): Spoilt | undefined {
  const stroke = measure.strokes[index];
  if (!stroke || stroke.length + ticks <= 0) return undefined;
  const isLast = index === measure.strokes.length - 1;
  const longer = ticks > 0;
  const code = isLast ? (longer ? 'too-long' : 'too-short') : longer ? 'overlap' : 'gap';
  return {
    ...changed(measure, index, { length: stroke.length + ticks }, code),
    stroke: isLast ? index : index + 1,
  };
}

/** Without a stroke: a gap at the next one, or an end that comes too early. */
function without({ strokes }: Measure, index: number): Spoilt {
  const left = strokes.filter((_, i) => i !== index);
  if (left.length === 0) return { strokes: left, code: 'empty' };
  return index < left.length
    ? { strokes: left, code: 'gap', stroke: index }
    : { strokes: left, code: 'too-short', stroke: left.length - 1 };
}

/** With a stroke twice at the same moment. */
function twice({ strokes }: Measure, index: number): Spoilt {
  const list = [...strokes.slice(0, index + 1), ...strokes.slice(index)];
  return { strokes: list, code: 'overlap', stroke: index + 1 };
}

/** Source: references, "usual 5-string: 22 frets". */
const NECK_FRETS = 22;
const FINGER: readonly By[] = ['strike', 'brush', 'chop'];
const PICKED: readonly By[] = [...FINGER, 'thumb'];
const SOUNDING: readonly By[] = [...PICKED, 'hammer', 'pull', 'slide', 'pluck'];

/**
 * What may go wrong with a measure that was legal, by name, and what has to be said of it.
 * Source: the hands' laws of the trade, common practice, no source.
 */
export const MUTATIONS: Readonly<Record<string, Mutation>> = {
  'a thumb a slot early': on(['thumb'], (_, measure, index) => moved(measure, index, -1, 'down')),
  'a thumb a slot late': on(['thumb'], (_, measure, index) => moved(measure, index, 1, 'down')),
  'a strike that the thumb plays': on(['strike', 'brush'], (_, measure, index) =>
    changed(measure, index, { by: 'thumb' }, 'thumb-on-down-slot'),
  ),
  'a finger stroke a slot early': on(FINGER, (_, measure, index) =>
    moved(measure, index, -1, 'up'),
  ),
  'a finger stroke a slot late': on(FINGER, (_, measure, index) => moved(measure, index, 1, 'up')),
  'a thumb that the finger plays': on(['thumb'], (_, measure, index) =>
    changed(measure, index, { by: 'strike' }, 'finger-on-up-slot'),
  ),
  'a brush where the thumb was': on(['thumb'], (stroke, measure, index) =>
    changed(measure, index, { by: 'brush', notes: doubled(stroke) }, 'finger-on-up-slot'),
  ),
  'a picking stroke half a slot early': on(PICKED, (_, measure, index) => {
    const strokes = borderMoved(measure, index, -measure.meter.slot / 2);
    return strokes && { strokes, code: 'between-slots', stroke: index };
  }),
  'a thumb on string 1': on(['thumb'], (_, measure, index) =>
    changed(measure, index, { notes: [{ string: 1, fret: 0 }] }, 'thumb-on-first-string'),
  ),
  'a thumb on two strings': on(['thumb'], (stroke, measure, index) =>
    changed(measure, index, { notes: doubled(stroke) }, 'one-string-only'),
  ),
  'a strike on two strings': on(['strike'], (stroke, measure, index) =>
    changed(measure, index, { notes: doubled(stroke) }, 'one-string-only'),
  ),
  'a brush of one string': on(['brush'], ({ notes }, measure, index) =>
    changed(measure, index, { notes: notes.slice(0, 1) }, 'brush-needs-strings'),
  ),
  'a hammer on two strings': on(['hammer', 'pull', 'slide', 'pluck'], (stroke, measure, index) =>
    changed(measure, index, { notes: doubled(stroke) }, 'one-string-only'),
  ),
  'a hammer to the same fret': on(['hammer'], ({ notes }, measure, index) => {
    const from = lastOn(measure, index, notes[0]?.string);
    return from && refretted(measure, index, from.fret, 'hammer-not-higher');
  }),
  'a hammer to a lower fret': on(['hammer'], ({ notes }, measure, index) => {
    const from = lastOn(measure, index, notes[0]?.string);
    return from && from.fret > 0
      ? refretted(measure, index, from.fret - 1, 'hammer-not-higher')
      : undefined;
  }),
  'a hammer from nowhere to an open string': on(['hammer'], (_, measure, index) =>
    onSilent(measure, index, 0, 'hammer-not-higher'),
  ),
  'a pull to the same fret': on(['pull'], ({ notes }, measure, index) => {
    const from = lastOn(measure, index, notes[0]?.string);
    return from && refretted(measure, index, from.fret, 'pull-not-lower');
  }),
  'a pull to a higher fret': on(['pull'], ({ notes }, measure, index, neck) => {
    const from = lastOn(measure, index, notes[0]?.string);
    return from && hasFret(neck, from.string, from.fret + 1)
      ? refretted(measure, index, from.fret + 1, 'pull-not-lower')
      : undefined;
  }),
  'a pull off an open string': on(['pull'], (_, measure, index) =>
    fromOpen(measure, index, 'pull-not-lower'),
  ),
  'a pull on a string that is silent': on(['pull'], (_, measure, index) =>
    onSilent(measure, index, 0, 'nothing-sounding'),
  ),
  'a slide on a string that is silent': on(['slide'], (_, measure, index) =>
    onSilent(measure, index, 3, 'nothing-sounding'),
  ),
  'a slide from an open string': on(['slide'], (_, measure, index) =>
    fromOpen(measure, index, 'slide-from-open'),
  ),
  'a slide to an open string': on(['slide'], (_, measure, index) =>
    refretted(measure, index, 0, 'slide-from-open'),
  ),
  'a slide to where it starts': on(['slide'], ({ notes }, measure, index) => {
    const from = lastOn(measure, index, notes[0]?.string);
    return from && refretted(measure, index, from.fret, 'slide-nowhere');
  }),
  'a fret beyond the neck': on(SOUNDING, ({ notes }, measure, index, { capo }) => {
    const [first, ...more] = notes;
    const fret = NECK_FRETS - capo + 1;
    return (
      first && changed(measure, index, { notes: [{ ...first, fret }, ...more] }, 'no-such-fret')
    );
  }),
  'a fret that the drone does not have': on(['thumb'], (_, measure, index) =>
    changed(measure, index, { notes: [{ string: 5, fret: 5 }] }, 'no-such-fret'),
  ),
  'a brush that no hand can hold': on(['brush'], (_, measure, index) => {
    const notes: readonly Note[] = [
      { string: 1, fret: 1 },
      { string: 2, fret: 9 },
    ];
    return changed(measure, index, { notes }, 'no-fingers');
  }),
  'a stroke a slot longer': (measure, index) => lasting(measure, index, measure.meter.slot),
  'a stroke a tick longer': (measure, index) => lasting(measure, index, 1),
  'a stroke half as long': (measure, index) =>
    lasting(measure, index, -(measure.strokes[index]?.length ?? 0) / 2),
  'a stroke a tick shorter': (measure, index) => lasting(measure, index, -1),
  'a stroke that is left out': without,
  'a stroke that is there twice': twice,
  'no strokes at all': () => ({ strokes: [], code: 'empty' }),
};
