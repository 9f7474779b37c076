/**
 * The first number of every message. The first four are y-websocket's own and carry the `lead` document and presence.
 * Source: y-protocols, PROTOCOL.md, and the constants that the y-websocket 3 provider exports.
 */
export const KIND = {
  sync: 0,
  awareness: 1,
  auth: 2,
  queryAwareness: 3,
  /** Ours: a document's name, then a standard sync message for it. */
  document: 100,
  /** Ours: one JSON text, `Up` from the browser and `Down` from the server. */
  word: 101,
} as const;

/** The parts of a standard sync message. Source: y-protocols, sync.js. */
export const SYNC = { step1: 0, step2: 1, update: 2 } as const;
export type SyncKind = (typeof SYNC)[keyof typeof SYNC];
