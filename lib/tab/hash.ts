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
  const prime = 0x100000001b3n;
  let hash = 0xcbf29ce484222325n;
  for (const byte of new TextEncoder().encode(text)) {
    hash = BigInt.asUintN(64, (hash ^ BigInt(byte)) * prime);
  }
  return hash.toString(16).padStart(16, '0');
}

export function hashStrokes(strokes: readonly Stroke[]): string {
  return fingerprint(strokesText(strokes));
}
