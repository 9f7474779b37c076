import { join } from 'node:path';
import Database from 'libsql';
import { StoreError, StoreInUse } from './store';

const LOCK_FILE = 'lock.sqlite';
/** How long a server waits for one that is about to stop, ms. */
const LOCK_PATIENCE = 3000;

/**
 * Takes the folder for this process alone, until it ends in whatever way. Two servers on one folder would shorten each other's logs.
 * The lock is a transaction on a file of its own, so that other programs can still read and copy the database.
 */
export function lockFolder(folder: string): Database.Database {
  let lock: Database.Database;
  try {
    lock = new Database(join(folder, LOCK_FILE));
  } catch (error) {
    throw new StoreError(`the folder ${folder} cannot be opened`, { cause: error });
  }
  try {
    lock.pragma(`busy_timeout = ${LOCK_PATIENCE}`);
    lock.exec('BEGIN EXCLUSIVE');
    return lock;
  } catch (error) {
    lock.close();
    throw new StoreInUse(`the folder ${folder} is in use`, { cause: error });
  }
}

/** Closing alone does not end the transaction at once in libsql 0.5. */
export function unlock(lock: Database.Database): void {
  lock.exec('ROLLBACK');
  lock.close();
}
