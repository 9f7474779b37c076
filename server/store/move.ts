import { mkdtemp, rename, rm } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import type { ListedStore } from './shared';
import { SQLITE_FILE, SqliteStore } from './sqlite';
import type { Store } from './store';
import { StoreError } from './store';

/**
 * Copies every board with its links, its log and its kept points into an empty store, and leaves the first as it is.
 * Nobody else may write the first one meanwhile.
 * @returns how many boards were copied
 * @throws StoreError if the second store is not empty, or either does not do its part
 */
export async function moveBoards(from: ListedStore, to: Store): Promise<number> {
  if ((await to.countBoards()) > 0)
    throw new StoreError('there are boards already where these would go');
  const boards = await from.listBoards();
  for (const board of boards) {
    const entries = await from.load(board.id);
    // Removed since they were listed.
    if (!entries) continue;
    await to.create(board, entries);
    for (const { number, atMs, why, mark } of await from.listPoints(board.id)) {
      const documents = await from.readPoint(board.id, number);
      if (documents) await to.keepPoint(board.id, { atMs, why, mark, documents });
    }
  }
  return to.countBoards();
}

const COPY_PREFIX = 'passround-copy-';
/** What a folder is called in which a copy is made. */
export const COPY_FOLDER = /^passround-copy-\w{6}$/;

/** Copies every board into a new SQLite file. @throws StoreError if that cannot be done; then there is no file */
export async function copyIntoFile(from: ListedStore, path: string): Promise<void> {
  let folder: string | undefined;
  try {
    folder = await mkdtemp(join(dirname(path), COPY_PREFIX));
    const to = new SqliteStore(folder);
    await moveBoards(from, to).finally(() => to.close());
    await rename(join(folder, SQLITE_FILE), path);
  } catch (error) {
    throw new StoreError('the database cannot be copied', { cause: error });
  } finally {
    if (folder !== undefined) await rm(folder, { recursive: true, force: true });
  }
}
