import { expect, test } from 'vitest';
import { fingerprint } from '../../lib/tab/hash';

// Source: FNV-1a 64-bit test vectors of the FNV authors' published test suite (also RFC 9923), from memory for these three
// strings; the empty string's value is the offset basis that the definition states.
test.each([
  ['', 'cbf29ce484222325'],
  ['a', 'af63dc4c8601ec8c'],
  ['foobar', '85944171f73967e8'],
])('FNV-1a of "%s"', (text, hash) => expect(fingerprint(text)).toBe(hash));
