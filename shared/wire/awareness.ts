import * as encoding from 'lib0/encoding';

/** What one page says of itself, in an awareness update. */
export interface AwarenessEntry {
  /** The page's number, any of 32 bits. */
  readonly client: number;
  /** Counts what the page has said; only what is higher than before is news. */
  readonly clock: number;
  /** `undefined`: it has gone. */
  readonly presence: object | undefined;
}

/** An awareness update as y-protocols reads it. Source: y-protocols 1.0, awareness.js, encodeAwarenessUpdate */
export function awarenessUpdate(entries: readonly AwarenessEntry[]): Uint8Array {
  return encoding.encode((encoder) => {
    encoding.writeVarUint(encoder, entries.length);
    for (const { client, clock, presence } of entries) {
      encoding.writeVarUint(encoder, client);
      encoding.writeVarUint(encoder, clock);
      encoding.writeVarString(encoder, JSON.stringify(presence ?? null));
    }
  });
}
