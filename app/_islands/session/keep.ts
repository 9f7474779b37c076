import { IndexeddbPersistence } from 'y-indexeddb';
import type * as Y from 'yjs';
import type { DocumentName } from '../../../shared/board/roles';

/**
 * Keeps one's own document on this browser, so that what was said while the line was down is not lost with the page. A browser that
 * keeps nothing (private windows may not) goes on without.
 */
export function keepOnThisBrowser(
  board: string,
  name: DocumentName,
  doc: Y.Doc,
): { destroy: () => unknown } {
  if (typeof indexedDB === 'undefined') return { destroy: () => undefined };
  return new IndexeddbPersistence(`passround/${board}/${name}`, doc);
}
