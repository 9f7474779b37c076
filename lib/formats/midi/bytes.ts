/** Largest variable-length quantity. Source: Standard MIDI Files 1.0, "variable-length quantities". */
export const MAX_QUANTITY = 0x0fffffff;

/**
 * A number as a variable-length quantity: seven bits a byte, the highest first, the top bit set on all but the last.
 * @throws RangeError for what is not whole or out of 0 to 0FFFFFFF
 * Source: Standard MIDI Files 1.0; its table is checked in tests/reference/formats/midi.test.ts
 */
export function quantityBytes(value: number): readonly number[] {
  if (!Number.isInteger(value) || value < 0 || value > MAX_QUANTITY)
    throw new RangeError(`${value} is no variable-length quantity`);
  const bytes = [value & 0x7f];
  for (let left = value >> 7; left > 0; left >>= 7) bytes.unshift((left & 0x7f) | 0x80);
  return bytes;
}

/** A whole number in so many bytes, the highest first. */
export function bigEndian(value: number, size: number): readonly number[] {
  return Array.from({ length: size }, (_, i) => (value >>> (8 * (size - 1 - i))) & 0xff);
}

/** A chunk: four letters, the length, the bytes. */
export function chunk(name: 'MThd' | 'MTrk', data: readonly number[]): readonly number[] {
  return [...name].map((letter) => letter.charCodeAt(0)).concat(bigEndian(data.length, 4), data);
}

/** A meta event's bytes without its time. */
export function meta(type: number, data: readonly number[]): readonly number[] {
  return [0xff, type, ...quantityBytes(data.length), ...data];
}

/** A meta event that holds text, in UTF-8. */
export function metaText(type: number, text: string): readonly number[] {
  return meta(type, [...new TextEncoder().encode(text)]);
}
