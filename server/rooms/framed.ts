/** A message as it stands on the line, to be sent to many. */
export interface Framed {
  readonly bytes: Buffer;
}

/** The last piece of a message, which is binary. Source: RFC 6455, section 5.2. */
const WHOLE_BINARY = 0x82;

/**
 * Frames a message as a server does: in one piece, binary, not masked, not compressed. Source: RFC 6455, sections 5.1 and 5.2.
 * ws would frame it once for each socket, which is most of what passing an edit on to a hundred people costs.
 */
export function framedOnce(message: Uint8Array): Framed {
  return { bytes: Buffer.concat([headOf(message.length), message]) };
}

function headOf(length: number): Buffer {
  if (length <= 125) return Buffer.from([WHOLE_BINARY, length]);
  if (length <= 0xffff) {
    const head = Buffer.from([WHOLE_BINARY, 126, 0, 0]);
    head.writeUInt16BE(length, 2);
    return head;
  }
  const head = Buffer.alloc(10);
  head.set([WHOLE_BINARY, 127]);
  head.writeBigUInt64BE(BigInt(length), 2);
  return head;
}
