import type * as Y from 'yjs';
import type { DocumentName } from '../../../shared/board/roles';
import { databaseOf } from './kept-here';

/** A document that is kept on this browser. */
export interface Kept {
  /** Keeps no more of it; what is kept stays. */
  readonly destroy: () => unknown;
  /** Deletes what is kept. */
  readonly forget: () => unknown;
}

/**
 * Keeps one's own document on this browser, so that what was said while the line was down is not lost with the page. A browser that
 * keeps nothing (private windows may not) goes on without. What keeps it is loaded by itself: who only watches never needs it.
 */
export function keepOnThisBrowser(board: string, name: DocumentName, doc: Y.Doc): Kept {
  if (typeof indexedDB === 'undefined')
    return { destroy: () => undefined, forget: () => undefined };
  const open = async () => {
    const { IndexeddbPersistence } = await import('y-indexeddb');
    return new IndexeddbPersistence(databaseOf(board, name), doc);
  };
  const opened = open();
  return {
    destroy: async () => (await opened).destroy(),
    forget: async () => (await opened).clearData(),
  };
}
