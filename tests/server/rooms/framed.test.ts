import { expect, test } from 'vitest';
import { framedOnce } from '../../../server/rooms/framed';

// Source: RFC 6455, section 5.7 (256 bytes and 64 KiB of binary data in one unmasked frame).
test.each([
  [256, [0x82, 0x7e, 0x01, 0x00]],
  [65_536, [0x82, 0x7f, 0, 0, 0, 0, 0, 1, 0, 0]],
  // From the lengths that section 5.2 gives: up to 125 in the second byte itself.
  [0, [0x82, 0]],
  [125, [0x82, 125]],
  [126, [0x82, 0x7e, 0, 126]],
  [65_535, [0x82, 0x7e, 0xff, 0xff]],
])('%i bytes begin as the standard says, and follow as they are', (length, head) => {
  const message = new Uint8Array(length).fill(7);
  const { bytes } = framedOnce(message);
  expect([...bytes.subarray(0, head.length)]).toEqual(head);
  expect(bytes.subarray(head.length).equals(message)).toBe(true);
});
