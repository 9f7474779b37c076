import { slotsIn } from '../rhythm';
import type { Measure, Stroke } from '../tab/measure';
import type { Ticks } from '../units';

const PARTS: Readonly<Record<string, string>> = {
  '1/2': 'half',
  '1/3': 'a third of',
  '2/3': 'two thirds of',
  '1/4': 'a quarter of',
  '3/4': 'three quarters of',
};

function greatestDivisor(a: number, b: number): number {
  return b === 0 ? a : greatestDivisor(b, a % b);
}

/** Ticks as slots, exactly: "1 slot", "3 slots", "half a slot", "1 and 1/2 slots". */
export function slotWords(ticks: Ticks, slot: Ticks): string {
  const whole = Math.floor(ticks / slot);
  const left = ticks % slot;
  if (left === 0) return `${whole} slot${whole === 1 ? '' : 's'}`;
  const divisor = greatestDivisor(left, slot);
  const part = `${left / divisor}/${slot / divisor}`;
  return whole === 0 ? `${PARTS[part] ?? `${part} of`} a slot` : `${whole} and ${part} slots`;
}

/** Where a moment falls, slots counted from 1: "slot 3", "slot 2 and 1/3". */
export function momentWords(measure: Measure, at: Ticks): string {
  const { slot } = measure.meter;
  const moment = measure.startsAt + at + slot;
  const divisor = greatestDivisor(moment % slot, slot);
  const part = moment % slot === 0 ? '' : ` and ${(moment % slot) / divisor}/${slot / divisor}`;
  return `slot ${Math.floor(moment / slot)}${part}`;
}

/** Number of the bum-ditty that a moment falls into, its own place there in ticks, and how many slots it has. */
export function groupOf({ meter, startsAt }: Measure, at: Ticks) {
  const bars = Math.floor((startsAt + at) / meter.measure);
  let left = (startsAt + at) % meter.measure;
  let number = bars * meter.groups.length;
  for (const slots of meter.groups) {
    if (left < slots * meter.slot) return { number, within: left, slots };
    left -= slots * meter.slot;
    number += 1;
  }
  throw new RangeError(`a measure of ${meter.name} has ${slotsIn(meter)} slots`);
}

/**
 * The length that goes without saying: the first finger stroke of a bum-ditty is long if another finger stroke follows (strike,
 * wait, brush, thumb), everything else takes one slot. A listener who knows the pattern hears what is not said.
 */
export function usualLength(measure: Measure, index: number): Ticks {
  const stroke = measure.strokes[index];
  const next = measure.strokes[index + 1]?.by;
  const { slot } = measure.meter;
  if (stroke === undefined) return slot;
  const { within, slots } = groupOf(measure, stroke.at);
  const isFinger = (by: Stroke['by'] | undefined) =>
    by === 'strike' || by === 'brush' || by === 'chop';
  return within === 0 && slots === 4 && isFinger(stroke.by) && isFinger(next) ? slot * 2 : slot;
}

/** What is said of a length: nothing where it is the usual one. */
export function lengthWords({ by, length }: Stroke, usual: Ticks, slot: Ticks): string {
  if (length === usual) return '';
  const slots = slotWords(length, slot);
  const rings = by !== 'rest' && by !== 'chop' && length > usual;
  return rings ? ` and let it ring for ${slots}` : ` for ${slots}`;
}

/** "in a triplet" where three equal strokes that begin here take the time of two slots, "in a quick triplet" of one. */
export function tripletWords({ strokes, meter }: Measure, index: number): string {
  const three = strokes.slice(index, index + 3);
  const [first] = three;
  if (!first || three.length < 3 || three.some(({ length }) => length !== first.length)) return '';
  if (first.length * 3 === meter.slot * 2) return 'in a triplet: ';
  return first.length * 3 === meter.slot ? 'in a quick triplet: ' : '';
}
