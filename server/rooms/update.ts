import * as Y from 'yjs';
import type { Refusal } from '../../shared/wire/refusal';
import { MAX_CLOCK, MAX_DEPTH } from '../limits';

/** What an update says, read once for all questions about it. */
export type Decoded = ReturnType<typeof Y.decodeUpdate>;
type Struct = Decoded['structs'][number];

/** Why an update cannot be taken, before it has touched any document. */
export type UpdateFault = Extract<Refusal['code'], 'unreadable' | 'incomplete'>;

/** Is this the update in which nothing happened? A browser answers with it when it has nothing of its own. */
export function isNothing(update: Uint8Array): boolean {
  return update.length === 2 && update[0] === 0 && update[1] === 0;
}

/** What an update says; undefined for bytes that are no update. */
export function decoded(update: Uint8Array): Decoded | undefined {
  try {
    return Y.decodeUpdate(update);
  } catch (error) {
    // Yjs and lib0 throw plain errors on bytes that are no update (and a RangeError where nesting overflows the stack).
    if (error instanceof Error) return undefined;
    throw error;
  }
}

/** Does a plain value nest deeper than MAX_DEPTH? Looks without recursion. */
function isTooDeep(value: unknown): boolean {
  const stack: { readonly value: unknown; readonly depth: number }[] = [{ value, depth: 0 }];
  for (let next = stack.pop(); next; next = stack.pop()) {
    if (typeof next.value !== 'object' || next.value === null) continue;
    if (next.value instanceof Uint8Array) continue;
    if (next.depth >= MAX_DEPTH) return true;
    for (const inner of Object.values(next.value))
      stack.push({ value: inner, depth: next.depth + 1 });
  }
  return false;
}

/**
 * Is this a plain value under a key of a map, or one that was deleted? Pages write nothing else; lists, texts and types within types would
 * be compared item by item where they are put together (`rivalry.ts`).
 */
function isPlain({ content, origin, rightOrigin, parent, parentSub }: Y.Item): boolean {
  if (!(content instanceof Y.ContentAny || content instanceof Y.ContentDeleted)) return false;
  return (
    rightOrigin === null && (origin !== null || (typeof parent === 'string' && parentSub !== null))
  );
}

/**
 * Are these several values under one key of which not all are deleted by the same update? Pages leave one: every other was deleted when the
 * next one was set, and comes only where it can still be undone. Cutting one out of many takes Yjs as long as there are many, here and on every page.
 */
function isCrowd({ id, length, content }: Y.Item, { ds }: Decoded): boolean {
  if (length < 2 || !(content instanceof Y.ContentAny)) return false;
  for (let at = 0; at < length; at += 1)
    if (!Y.isDeleted(ds, Y.createID(id.client, id.clock + at))) return true;
  return false;
}

function faultOfStruct(struct: Struct, parts: Decoded, state: Clocks): UpdateFault | undefined {
  const { client, clock } = struct.id;
  if (!(struct instanceof Y.Item) && !(struct instanceof Y.GC)) return 'incomplete';
  if (clock + struct.length > MAX_CLOCK || struct.length < 1) return 'unreadable';
  const known = state.of(client);
  if (clock > known) return 'incomplete';
  state.reach(client, Math.max(known, clock + struct.length));
  if (!(struct instanceof Y.Item)) return undefined;
  if (!isPlain(struct) || isCrowd(struct, parts)) return 'unreadable';
  return struct.content instanceof Y.ContentAny && isTooDeep(struct.content.arr)
    ? 'unreadable'
    : undefined;
}

/** How far each writer of a document has come, with what an update adds; asks the document only about writers that are named. */
class Clocks {
  private readonly reached = new Map<number, number>();

  constructor(private readonly doc: Y.Doc) {}

  of(client: number): number {
    return this.reached.get(client) ?? Y.getState(this.doc.store, client);
  }

  reach(client: number, clock: number): void {
    this.reached.set(client, clock);
  }
}

/**
 * What is wrong with an update for a document, as far as can be told without applying it: bytes that are no update, gaps, deletions of
 * what is not there, several values at once where there is one, values without measure. Reads the update only; linear in its length.
 */
export function faultOf(parts: Decoded, doc: Y.Doc): UpdateFault | undefined {
  // Bytes in encoding V2 begin like an empty update and go on; so does other rubbish.
  if (parts.structs.length === 0 && parts.ds.clients.size === 0) return 'unreadable';
  const state = new Clocks(doc);
  for (const struct of parts.structs) {
    const fault = faultOfStruct(struct, parts, state);
    if (fault) return fault;
  }
  // Found before the copy is spoilt by it: making that anew takes long.
  for (const struct of parts.structs)
    if (struct instanceof Y.Item && struct.origin) {
      const { client, clock } = struct.origin;
      if (clock >= state.of(client)) return 'incomplete';
    }
  for (const [client, ranges] of parts.ds.clients)
    for (const { clock, len } of ranges) if (clock + len > state.of(client)) return 'incomplete';
  return undefined;
}
