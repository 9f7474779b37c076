import * as decoding from 'lib0/decoding';
import * as encoding from 'lib0/encoding';
import { parseDocumentName } from '../../shared/board/roles';
import type { LoggedUpdate } from '../store/store';

/** What one node says to the others. `node` is who speaks. */
export type NodeMessage = { readonly node: string } & (
  | {
      readonly kind: 'kept';
      /** The board's version before and after these were written. */
      readonly before: number;
      readonly version: number;
      /** Absent where they would be too much: read the log. */
      readonly entries: readonly LoggedUpdate[] | undefined;
    }
  | { readonly kind: 'presence'; readonly bytes: Uint8Array }
  /** Asks the others to tell who is there. */
  | { readonly kind: 'who' }
  | { readonly kind: 'alive' }
  /** Took that node for gone, and hears it again: its people are to say themselves anew. */
  | { readonly kind: 'missed'; readonly whom: string }
  | { readonly kind: 'bye' }
);

/** Source: ours. A new number for a new form, so that nodes of two versions ignore what they do not know. */
const KIND = { kept: 1, presence: 2, who: 3, alive: 4, bye: 5, missed: 6 } as const;
const MAX_ENTRIES = 10_000;

export function writeMessage(message: NodeMessage): Uint8Array {
  return encoding.encode((encoder) => {
    encoding.writeVarUint(encoder, KIND[message.kind]);
    encoding.writeVarString(encoder, message.node);
    if (message.kind === 'presence') encoding.writeVarUint8Array(encoder, message.bytes);
    if (message.kind === 'missed') encoding.writeVarString(encoder, message.whom);
    if (message.kind !== 'kept') return;
    encoding.writeVarUint(encoder, message.before);
    encoding.writeVarUint(encoder, message.version);
    encoding.writeUint8(encoder, message.entries ? 1 : 0);
    encoding.writeVarUint(encoder, message.entries?.length ?? 0);
    for (const { document, update } of message.entries ?? []) {
      encoding.writeVarString(encoder, document);
      encoding.writeVarUint8Array(encoder, update);
    }
  });
}

function readEntry(decoder: decoding.Decoder): LoggedUpdate | undefined {
  const parsed = parseDocumentName(decoding.readVarString(decoder));
  // A copy: what was read is a window on the whole message.
  const update = decoding.readVarUint8Array(decoder).slice();
  return parsed && { document: parsed.name, update };
}

function readKept(decoder: decoding.Decoder, node: string): NodeMessage | undefined {
  const before = decoding.readVarUint(decoder);
  const version = decoding.readVarUint(decoder);
  const isWhole = decoding.readUint8(decoder) === 1;
  const count = decoding.readVarUint(decoder);
  if (count > MAX_ENTRIES) return undefined;
  const entries = Array.from({ length: count }, () => readEntry(decoder));
  const known = entries.filter((entry) => entry !== undefined);
  if (known.length < count) return undefined;
  return { node, kind: 'kept', before, version, entries: isWhole ? known : undefined };
}

/** What a node said; undefined for bytes that say nothing to this version. */
export function readMessage(bytes: Uint8Array): NodeMessage | undefined {
  const decoder = decoding.createDecoder(bytes);
  try {
    const kind = decoding.readVarUint(decoder);
    const node = decoding.readVarString(decoder);
    switch (kind) {
      case KIND.kept:
        return readKept(decoder, node);
      case KIND.presence:
        return { node, kind: 'presence', bytes: decoding.readVarUint8Array(decoder).slice() };
      case KIND.who:
        return { node, kind: 'who' };
      case KIND.alive:
        return { node, kind: 'alive' };
      case KIND.bye:
        return { node, kind: 'bye' };
      case KIND.missed:
        return { node, kind: 'missed', whom: decoding.readVarString(decoder) };
      default:
        return undefined;
    }
  } catch (error) {
    // lib0 throws plain errors on bytes that end early.
    if (error instanceof Error) return undefined;
    throw error;
  }
}
