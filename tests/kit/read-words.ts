import type { Meter, MeterName } from '../../lib/rhythm';
import { meterNamed } from '../../lib/rhythm';
import type { By, Measure, Note, Stroke } from '../../lib/tab/measure';
import type { Neck } from '../../lib/tuning';
import { midiAt } from '../../lib/tuning';
import type { StringNumber, Ticks } from '../../lib/units';
import { Cursor } from './cursor';
import type { Deed } from './read-deed';
import { NUMBER, readDeed } from './read-deed';

/**
 * Reads the sentences of `lib/words/describe.ts` back, for tests only: what somebody who knows the bum-ditty and hears nothing
 * else would play. It knows the meter and the rules of the sentence, and shares nothing with the module that speaks them. It
 * throws a RangeError at every word that it does not expect, and where a sentence or a length is told in another way than it
 * should be.
 */

/** A stroke as told, before it is known when it sounds. */
interface Told extends Deed {
  /** Where it says when it begins. */
  readonly moment: Ticks | undefined;
  /** Where it says how long it lasts. */
  readonly length: { readonly ticks: Ticks; readonly rings: boolean } | undefined;
  /** "in a triplet" before it: length of each of its strokes. */
  readonly triplet: Ticks | undefined;
  /** What stands between it and the stroke before. */
  readonly joint: 'sentence' | 'apart' | 'together';
}

const NAMED_PARTS: readonly (readonly [string, number, number])[] = [
  ['half a slot', 1, 2],
  ['a third of a slot', 1, 3],
  ['two thirds of a slot', 2, 3],
  ['a quarter of a slot', 1, 4],
  ['three quarters of a slot', 3, 4],
];

const LETTERS = ['C', 'C#', 'D', 'D#', 'E', 'F', 'F#', 'G', 'G#', 'A', 'A#', 'B'];

/** " (G)" after a single note where a neck is given, and nothing elsewhere. */
function readLetter(cursor: Cursor, notes: readonly Note[], neck: Neck | undefined): void {
  const [note, ...more] = notes;
  if (!neck || !note || more.length > 0) return;
  cursor.expect(` (${LETTERS[midiAt(neck, note.string, note.fret) % 12]})`);
}

/** "1 slot", "3 slots", "half a slot", "2/5 of a slot", "1 and 1/2 slots". */
function readSlots(cursor: Cursor, slot: Ticks): Ticks {
  for (const [words, part, of] of NAMED_PARTS) if (cursor.has(words)) return (slot * part) / of;
  const fraction = cursor.match(/(\d+)\/(\d+) of a slot/y);
  if (fraction) return (slot * Number(fraction[1])) / Number(fraction[2]);
  const mixed = cursor.match(/(\d+) and (\d+)\/(\d+) slots/y);
  if (mixed) return slot * Number(mixed[1]) + (slot * Number(mixed[2])) / Number(mixed[3]);
  if (cursor.has('1 slot') && !cursor.sees('s')) return slot;
  const count = Number(cursor.take(NUMBER));
  cursor.expect(' slots');
  return count * slot;
}

/** "slot 3", "slot 2 and 1/3", as ticks from the bar line. */
function readMoment(cursor: Cursor, slot: Ticks): Ticks {
  cursor.expect('slot ');
  const whole = (Number(cursor.take(NUMBER)) - 1) * slot;
  const part = cursor.match(/ and (\d+)\/(\d+)/y);
  return part ? whole + (slot * Number(part[1])) / Number(part[2]) : whole;
}

function readLength(cursor: Cursor, slot: Ticks): Told['length'] {
  if (cursor.has(' and let it ring for ')) return { ticks: readSlots(cursor, slot), rings: true };
  if (cursor.has(' for ')) return { ticks: readSlots(cursor, slot), rings: false };
  return undefined;
}

function readTriplet(cursor: Cursor, slot: Ticks): Ticks | undefined {
  if (cursor.has('in a triplet: ')) return (slot * 2) / 3;
  return cursor.has('in a quick triplet: ') ? slot / 3 : undefined;
}

function readTold(
  cursor: Cursor,
  slot: Ticks,
  neck: Neck | undefined,
  joint: Told['joint'],
  before: Told | undefined,
): Told {
  if (joint === 'sentence') cursor.lowerNext();
  const moment = cursor.has('on ') ? readMoment(cursor, slot) : undefined;
  if (moment !== undefined) cursor.expect(': ');
  const triplet = readTriplet(cursor, slot);
  const [only, ...more] = before?.notes ?? [];
  const does = readDeed(cursor, more.length === 0 ? only?.string : undefined);
  readLetter(cursor, does.notes, neck);
  return { moment, triplet, joint, ...does, length: readLength(cursor, slot) };
}

function readJoint(cursor: Cursor): Told['joint'] | undefined {
  if (cursor.has('; ')) return 'apart';
  if (cursor.has(', ')) return 'together';
  cursor.expect('.');
  if (cursor.atEnd()) return undefined;
  cursor.expect(' ');
  return 'sentence';
}

/** Number of the bum-ditty that holds this moment from the bar line, over all bars, and whether it is the first of it. */
function bumDittyAt(meter: Meter, moment: Ticks) {
  let start = Math.floor(moment / meter.measure) * meter.measure;
  let number = (start / meter.measure) * meter.groups.length;
  for (const slots of meter.groups) {
    if (moment < start + slots * meter.slot) return { number, isFirst: moment === start, slots };
    start += slots * meter.slot;
    number += 1;
  }
  throw new RangeError(`no bum-ditty at ${moment}`);
}

const FINGER: readonly (By | undefined)[] = ['strike', 'brush', 'chop'];

/** The length that a listener takes for granted: two slots for the long note of strike, wait, brush, thumb; else one. */
function grantedLength(
  place: ReturnType<typeof bumDittyAt>,
  by: By,
  next: By | undefined,
  slot: Ticks,
) {
  const isLong = place.isFirst && place.slots === 4 && FINGER.includes(by) && FINGER.includes(next);
  return isLong ? 2 * slot : slot;
}

/** When each stroke sounds, from what was told of it. */
function timed(told: readonly Told[], meterName: MeterName, startsAt: Ticks): readonly Stroke[] {
  const meter = meterNamed(meterName);
  const strokes: Stroke[] = [];
  let reached: Ticks = 0;
  let left = 0;
  let third: Ticks = 0;
  let group: number | undefined;
  for (const [i, { moment, by, notes, length, triplet, joint }] of told.entries()) {
    const trouble = (what: string) => new RangeError(`stroke ${i + 1}: ${what}`);
    const at = moment === undefined ? reached : moment - startsAt;
    if (moment !== undefined && at === reached) throw trouble('its moment goes without saying');
    const place = bumDittyAt(meter, startsAt + at);
    if ((joint === 'sentence') !== (place.number !== group))
      throw trouble('a sentence is one bum-ditty');
    if (triplet !== undefined) [left, third] = [3, triplet];
    const granted = left > 0 ? third : grantedLength(place, by, told[i + 1]?.by, meter.slot);
    if (length && (left > 0 || length.ticks === granted))
      throw trouble('its length goes without saying');
    if (length && length.rings !== (length.ticks > granted && by !== 'rest' && by !== 'chop'))
      throw trouble('only what sounds longer than it would rings on');
    strokes.push({ at, length: length?.ticks ?? granted, by, notes });
    left -= 1;
    group = place.number;
    reached = at + (length?.ticks ?? granted);
  }
  return strokes;
}

/** Where a hammer says that it comes from nowhere, nothing has sounded its string before, and nowhere else. */
function checkNowhere(told: readonly Told[]): void {
  const sounding = new Set<StringNumber>();
  for (const { by, notes, fromNowhere, joint } of told) {
    const [note, ...more] = notes;
    const named = joint !== 'together' && by === 'hammer' && note && more.length === 0;
    if (named && fromNowhere === sounding.has(note.string))
      throw new RangeError(`hammer on string ${note.string}: where does it come from?`);
    for (const { string } of notes) {
      if (by === 'chop') sounding.delete(string);
      else sounding.add(string);
    }
  }
}

/** What `describe` says, read back: when it begins in the bar and its strokes. */
export function readWords(
  meter: MeterName,
  words: string,
  neck?: Neck,
): Pick<Measure, 'startsAt' | 'strokes'> {
  if (words === 'Nothing is played here yet.') return { startsAt: 0, strokes: [] };
  const { slot } = meterNamed(meter);
  const cursor = new Cursor(words);
  const startsAt = cursor.has('Pickup from ') ? readMoment(cursor, slot) : 0;
  if (startsAt > 0) cursor.expect(': ');
  const told: Told[] = [];
  for (let joint: Told['joint'] | undefined = 'sentence'; joint; joint = readJoint(cursor))
    told.push(readTold(cursor, slot, neck, joint, told.at(-1)));
  checkNowhere(told);
  return { startsAt, strokes: timed(told, meter, startsAt) };
}

/** What `describeStroke` says, read back; `at` counts from the bar line. */
export function readStroke(meter: MeterName, words: string, neck?: Neck): Stroke {
  const { slot } = meterNamed(meter);
  const cursor = new Cursor(words);
  cursor.lowerNext();
  const at = readMoment(cursor, slot);
  cursor.expect(': ');
  const { by, notes } = readDeed(cursor, undefined);
  readLetter(cursor, notes, neck);
  cursor.expect(' for ');
  const length = readSlots(cursor, slot);
  cursor.expect('.');
  if (!cursor.atEnd()) throw cursor.trouble('more than one sentence');
  return { at, length, by, notes };
}
