import type * as Y from 'yjs';
import type { DocumentName } from '../../../shared/board/roles';
import { databaseOf } from './kept-here';

/** A document that is kept on this browser. */
export interface Kept {
  /** Keeps no more of it; what is kept stays. */
  readonly destroy: () => unknown;
  /** Deletes what is kept. */
  readonly forget: () => unknown;
  /** Drops what is kept, and keeps this document in its place. */
  readonly begin: (doc: Y.Doc) => unknown;
}

/** Where y-indexeddb 9 keeps updates in its database. */
const UPDATES = 'updates';

function emptied(database: IDBDatabase | null): Promise<void> {
  return new Promise((done, failed) => {
    if (!database) return done();
    const work = database.transaction(UPDATES, 'readwrite');
    work.objectStore(UPDATES).clear();
    work.oncomplete = () => done();
    work.onabort = () => failed(work.error);
  });
}

/**
 * Keeps one's own document on this browser, so that what was said while the line was down is not lost with the page. A browser that
 * keeps nothing (private windows may not) goes on without. What keeps it is loaded by itself: who only watches never needs it.
 */
export function keepOnThisBrowser(board: string, name: DocumentName, doc: Y.Doc): Kept {
  if (typeof indexedDB === 'undefined') {
    const nothing = () => undefined;
    return { destroy: nothing, forget: nothing, begin: nothing };
  }
  const open = async (kept: Y.Doc) => {
    const { IndexeddbPersistence } = await import('y-indexeddb');
    return new IndexeddbPersistence(databaseOf(board, name), kept);
  };
  let opened = open(doc);
  return {
    destroy: async () => (await opened).destroy(),
    forget: async () => (await opened).clearData(),
    begin: (next) => {
      const before = opened;
      opened = before.then(async (old) => {
        await old.whenSynced;
        // The database stays: another page of this browser may have it open.
        await emptied(old.db);
        await old.destroy();
        return open(next);
      });
    },
  };
}
