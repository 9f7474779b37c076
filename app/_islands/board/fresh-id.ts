import type { MeasureId } from '../../../lib/units';

/** A name for a new measure that nobody else gives one: 80 random bits. */
export function freshMeasureId(): MeasureId {
  const bytes = crypto.getRandomValues(new Uint8Array(10));
  return `n${[...bytes].map((byte) => byte.toString(16).padStart(2, '0')).join('')}` as MeasureId;
}
