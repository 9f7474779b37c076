import * as decoding from 'lib0/decoding';
import * as encoding from 'lib0/encoding';
import * as v from 'valibot';
import type { DocumentName } from '../board/roles';
import { LEAD_DOCUMENT } from '../board/roles';
import type { Down } from './down';
import { down } from './down';
import type { SyncKind } from './kind';
import { KIND, SYNC } from './kind';
import type { Up } from './up';
import { up } from './up';

/** A message as bytes, and back. Reading never throws: what cannot be read is `unreadable`. */
export type Frame =
  | {
      readonly kind: 'sync';
      /** As it came: not every name is a document's. */
      readonly document: string;
      readonly step: SyncKind;
      readonly bytes: Uint8Array;
    }
  | { readonly kind: 'awareness'; readonly bytes: Uint8Array }
  | { readonly kind: 'query-awareness' }
  | { readonly kind: 'word'; readonly text: string }
  | { readonly kind: 'unreadable' };

const STEPS: readonly SyncKind[] = [SYNC.step1, SYNC.step2, SYNC.update];

function readSync(document: string, decoder: decoding.Decoder): Frame {
  const number = decoding.readVarUint(decoder);
  const step = STEPS.find((known) => known === number);
  if (step === undefined) return { kind: 'unreadable' };
  return { kind: 'sync', document, step, bytes: decoding.readVarUint8Array(decoder) };
}

function readWhole(decoder: decoding.Decoder): Frame {
  const kind = decoding.readVarUint(decoder);
  switch (kind) {
    case KIND.sync:
      return readSync(LEAD_DOCUMENT, decoder);
    case KIND.document:
      return readSync(decoding.readVarString(decoder), decoder);
    case KIND.awareness:
      return { kind: 'awareness', bytes: decoding.readVarUint8Array(decoder) };
    case KIND.queryAwareness:
      return { kind: 'query-awareness' };
    case KIND.word:
      return { kind: 'word', text: decoding.readVarString(decoder) };
    default:
      return { kind: 'unreadable' };
  }
}

/** What a message says; nothing may follow it in the same message. */
export function readFrame(message: Uint8Array): Frame {
  const decoder = decoding.createDecoder(message);
  try {
    const frame = readWhole(decoder);
    return decoding.hasContent(decoder) ? { kind: 'unreadable' } : frame;
  } catch (error) {
    // lib0 throws plain errors on bytes that end early or numbers out of range; anything else is our mistake.
    if (error instanceof Error) return { kind: 'unreadable' };
    throw error;
  }
}

/** A sync message for a document: `lead` in y-websocket's own form, the others in ours. */
export function syncFrame(document: DocumentName, step: SyncKind, bytes: Uint8Array): Uint8Array {
  return encoding.encode((encoder) => {
    if (document === LEAD_DOCUMENT) encoding.writeVarUint(encoder, KIND.sync);
    else {
      encoding.writeVarUint(encoder, KIND.document);
      encoding.writeVarString(encoder, document);
    }
    encoding.writeVarUint(encoder, step);
    encoding.writeVarUint8Array(encoder, bytes);
  });
}

export function awarenessFrame(bytes: Uint8Array): Uint8Array {
  return encoding.encode((encoder) => {
    encoding.writeVarUint(encoder, KIND.awareness);
    encoding.writeVarUint8Array(encoder, bytes);
  });
}

/** Asks who is at the other end to say themselves anew. */
export function queryAwarenessFrame(): Uint8Array {
  return encoding.encode((encoder) => encoding.writeVarUint(encoder, KIND.queryAwareness));
}

export function wordFrame(word: Up | Down): Uint8Array {
  return encoding.encode((encoder) => {
    encoding.writeVarUint(encoder, KIND.word);
    encoding.writeVarString(encoder, JSON.stringify(word));
  });
}

function parseJson(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined; // no JSON is no word; the schema says so
  }
}

/** What a browser said, or undefined if it is no word of ours. */
export function parseUp(text: string): Up | undefined {
  const parsed = v.safeParse(up, parseJson(text));
  return parsed.success ? parsed.output : undefined;
}

/** What the server said, or undefined if it is no word of ours (a newer server's, say). */
export function parseDown(text: string): Down | undefined {
  const parsed = v.safeParse(down, parseJson(text));
  return parsed.success ? parsed.output : undefined;
}
