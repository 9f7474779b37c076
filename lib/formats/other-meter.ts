import type { Meter } from '../rhythm';
import { isMeterName, meterNamed } from '../rhythm';
import type { Ticks } from '../units';
import { TICKS_PER_QUARTER } from '../units';

const WHOLE: Ticks = 4 * TICKS_PER_QUARTER;

/** The length of a bar as a meter of its own tells it. */
export interface Told {
  /** As written: "5/8". */
  readonly name: string;
  readonly ticks: Ticks;
}

/** How long a bar of a meter is, or undefined where it does not say so in whole ticks. A sum of beats counts as one: (2+3)/8. */
function barOf(text: string): Ticks | undefined {
  const match = /^\(?(\d{1,3}(?:\+\d{1,3})*)\)?\/(\d{1,4})$/.exec(text);
  if (!match) return undefined;
  const beats = (match[1] ?? '').split('+').reduce((sum, n) => sum + Number(n), 0);
  const ticks = (WHOLE * beats) / Number(match[2]);
  return Number.isInteger(ticks) && ticks > 0 ? ticks : undefined;
}

/** What is wrong with a meter inside a tune that is not its own and does not come back. */
export function meterStays(text: string, meter: Meter): string {
  return `The meter changes to ${text.slice(0, 20)}. A board keeps one meter from start to end: ${meter.name} here.`;
}

/**
 * What another meter inside a tune says of the bars under it: that they are shorter than the tune's, or in words why it has no place on a
 * board. That it comes back to the tune's own is for the caller to see.
 */
export function otherMeter(text: string, meter: Meter): Told | string {
  const name = text.replaceAll(' ', '');
  const ticks = barOf(name);
  if (ticks === undefined || ticks === meter.measure) return meterStays(text, meter);
  if (ticks > meter.measure)
    return `The meter changes to ${text.slice(0, 20)}. A measure is no longer than the tune's meter, ${meter.name} here: write this bar as two.`;
  return { name: name.slice(0, 20), ticks };
}

/**
 * The meter of a tune that names these, in order: the first, but the longest where the tune begins with shorter bars and ends with that.
 * Undefined where the board does not know it.
 */
export function meterAmong(names: readonly string[]): Meter | undefined {
  const [first, last] = [names[0] ?? '', names.at(-1)];
  const named = isMeterName(first) ? meterNamed(first) : undefined;
  const known = names.filter(isMeterName).map(meterNamed);
  const [longest] = known.toSorted((a, b) => b.measure - a.measure);
  if (!longest || longest.name !== last) return named;
  return typeof otherMeter(first, longest) === 'string' ? named : longest;
}
