import * as encoding from 'lib0/encoding';
import * as Y from 'yjs';

/** Updates that no honest browser writes, byte by byte. */

export type Write = (encoder: encoding.Encoder) => void;
export type Struct = readonly [client: number, clock: number, write: Write];
export type Deletion = readonly [client: number, clock: number, length: number];

/** An update from the parts that Yjs writes. Source: yjs 13.6, src/utils/updates.js, lazyStructReaderGenerator */
export function crafted(structs: readonly Struct[], deletes: readonly Deletion[] = []): Uint8Array {
  return encoding.encode((encoder) => {
    encoding.writeVarUint(encoder, structs.length);
    for (const [client, clock, write] of structs) {
      encoding.writeVarUint(encoder, 1);
      encoding.writeVarUint(encoder, client);
      encoding.writeVarUint(encoder, clock);
      write(encoder);
    }
    encoding.writeVarUint(encoder, deletes.length);
    for (const [client, clock, length] of deletes) {
      encoding.writeVarUint(encoder, client);
      encoding.writeVarUint(encoder, 1);
      encoding.writeVarUint(encoder, clock);
      encoding.writeVarUint(encoder, length);
    }
  });
}

export const gc =
  (length: number): Write =>
  (encoder) => {
    encoding.writeUint8(encoder, 0);
    encoding.writeVarUint(encoder, length);
  };

export const skip =
  (length: number): Write =>
  (encoder) => {
    encoding.writeUint8(encoder, 10);
    encoding.writeVarUint(encoder, length);
  };

/** Where a struct says that it hangs: a root type, another struct, or (by an origin) wherever its neighbour hangs. */
export type Hang =
  | { readonly root: string; readonly key?: string }
  | { readonly parent: readonly [number, number]; readonly key?: string }
  | { readonly left: readonly [number, number] }
  | { readonly right: readonly [number, number] };

/** An item with any content reference (0 to 15) and any bytes as content. Source: yjs 13.6, src/structs/Item.js, write */
export const item =
  (ref: number, hang: Hang, content: Write): Write =>
  (encoder) => {
    const key = 'key' in hang && hang.key !== undefined;
    const left = 'left' in hang ? 0x80 : 0;
    const right = 'right' in hang ? 0x40 : 0;
    encoding.writeUint8(encoder, (ref & 0x1f) | left | right | (key ? 0x20 : 0));
    const id = ([client, clock]: readonly [number, number]) => {
      encoding.writeVarUint(encoder, client);
      encoding.writeVarUint(encoder, clock);
    };
    if ('left' in hang) id(hang.left);
    else if ('right' in hang) id(hang.right);
    else if ('root' in hang) {
      encoding.writeVarUint(encoder, 1);
      encoding.writeVarString(encoder, hang.root);
    } else {
      encoding.writeVarUint(encoder, 0);
      id(hang.parent);
    }
    if ('key' in hang && hang.key !== undefined) encoding.writeVarString(encoder, hang.key);
    content(encoder);
  };

/** Content of one plain value (content reference 8). */
export const any =
  (value: encoding.AnyEncodable): Write =>
  (encoder) => {
    encoding.writeVarUint(encoder, 1);
    encoding.writeAny(encoder, value);
  };

/** What a doc was changed by, without the changes before it. */
export function lateUpdate(change: (doc: Y.Doc) => void, later: (doc: Y.Doc) => void): Uint8Array {
  const doc = new Y.Doc();
  change(doc);
  const before = Y.encodeStateVector(doc);
  later(doc);
  return Y.encodeStateAsUpdate(doc, before);
}

/** The state of a fresh doc after a change. */
export function madeBy(change: (doc: Y.Doc) => void): Uint8Array {
  const doc = new Y.Doc();
  change(doc);
  return Y.encodeStateAsUpdate(doc);
}

/** Shared types nested this deep. */
export function nested(depth: number): Uint8Array {
  return madeBy((doc) => {
    let map = doc.getMap('deep');
    for (let level = 0; level < depth; level += 1) {
      const inner = new Y.Map<unknown>();
      map.set('in', inner);
      map = inner;
    }
  });
}

/** A plain value nested this deep. */
export function nestedValue(depth: number): Uint8Array {
  let value: unknown = 1;
  for (let level = 0; level < depth; level += 1) value = [value];
  return madeBy((doc) => doc.getMap('deep').set('in', value));
}

/** A document that holds this many bytes in one value. */
export function large(bytes: number): Uint8Array {
  return madeBy((doc) => doc.getMap('large').set('in', 'x'.repeat(bytes)));
}

/** Deleted values of so many writers under one key, none of whom knows of another. */
export function rivals(writers: number, key: string): Uint8Array {
  const deleted: Write = (encoder) => encoding.writeVarUint(encoder, 1);
  return crafted(
    Array.from({ length: writers }, (_, i) => [i + 1, 0, item(1, { root: 'me', key }, deleted)]),
  );
}
