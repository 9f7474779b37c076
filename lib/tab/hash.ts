import type { Stroke } from './measure';

/** A measure's strokes as one line of text, the same for the same strokes whatever order their fields were in. */
export function strokesText(strokes: readonly Stroke[]): string {
  return strokes
    .map(({ at, length, by, notes }) => {
      const where = notes.map((note) => `${note.string}.${note.fret}`).join('+');
      return `${at}:${length}${by}${where}`;
    })
    .join(' ');
}

/**
 * A 64-bit fingerprint of a text as 16 hex digits. It names content, it does not protect it.
 * Source: FNV-1a, 64 bit, over UTF-8 (Fowler, Noll, Vo; RFC 9923); checked in tests/reference/hash.test.ts
 */
export function fingerprint(text: string): string {
  let high = 0xcbf29ce4;
  let low = 0x84222325;
  for (const byte of new TextEncoder().encode(text)) {
    low = (low ^ byte) >>> 0;
    // Times the prime 2^40 + 0x1b3, in halves of 32 bits: no product passes 2^53.
    const product = low * 0x1b3;
    const carry = Math.floor(product / 2 ** 32);
    high = (high * 0x1b3 + carry + ((low << 8) >>> 0)) >>> 0;
    low = product >>> 0;
  }
  return [high, low].map((half) => half.toString(16).padStart(8, '0')).join('');
}

export function hashStrokes(strokes: readonly Stroke[]): string {
  return fingerprint(strokesText(strokes));
}
