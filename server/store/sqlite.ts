import { join } from 'node:path';
import Database from 'libsql';
import * as v from 'valibot';
import type { BoardId } from '../../lib/units';
import { POINT_REASONS } from '../../shared/board/past';
import type { DocumentName } from '../../shared/board/roles';
import { parseDocumentName, ROLES } from '../../shared/board/roles';
import { isBoardId, sameText } from '../links';
import type { ListedStore } from './shared';
import type { KeptLink, LoggedUpdate, NewBoard, NewPoint, PointNote } from './store';
import { StoreError, StoreInUse } from './store';

/** The one file that holds everything, in the data folder. */
export const SQLITE_FILE = 'passround.sqlite';
const LOCK_FILE = 'lock.sqlite';
/** How long a server waits for one that is about to stop, ms. */
const LOCK_PATIENCE = 3000;

const SCHEMA = `
  CREATE TABLE IF NOT EXISTS boards (id TEXT PRIMARY KEY, created_ms REAL NOT NULL) WITHOUT ROWID;
  CREATE TABLE IF NOT EXISTS links (
    hash TEXT PRIMARY KEY, board TEXT NOT NULL REFERENCES boards(id) ON DELETE CASCADE, role TEXT NOT NULL
  ) WITHOUT ROWID;
  CREATE TABLE IF NOT EXISTS updates (
    seq INTEGER PRIMARY KEY AUTOINCREMENT,
    board TEXT NOT NULL REFERENCES boards(id) ON DELETE CASCADE,
    document TEXT NOT NULL,
    bytes BLOB NOT NULL
  );
  CREATE INDEX IF NOT EXISTS updates_by_document ON updates (board, document, seq);
  CREATE TABLE IF NOT EXISTS uses (
    board TEXT PRIMARY KEY REFERENCES boards(id) ON DELETE CASCADE, used_ms REAL NOT NULL
  ) WITHOUT ROWID;
  CREATE TABLE IF NOT EXISTS points (
    board TEXT NOT NULL REFERENCES boards(id) ON DELETE CASCADE, number INTEGER NOT NULL,
    at_ms REAL NOT NULL, why TEXT NOT NULL, mark TEXT NOT NULL, size INTEGER NOT NULL,
    PRIMARY KEY (board, number)
  ) WITHOUT ROWID;
  CREATE TABLE IF NOT EXISTS point_documents (
    seq INTEGER PRIMARY KEY AUTOINCREMENT,
    board TEXT NOT NULL, number INTEGER NOT NULL, document TEXT NOT NULL, bytes BLOB NOT NULL,
    FOREIGN KEY (board, number) REFERENCES points ON DELETE CASCADE
  );
  CREATE INDEX IF NOT EXISTS point_documents_by_number ON point_documents (board, number, seq);
`;

const bytes = v.pipe(
  v.union([v.instance(Uint8Array), v.instance(ArrayBuffer)]),
  v.transform((value) => new Uint8Array(value)),
);
const name = v.custom<DocumentName>((value) => parseDocumentName(value) !== undefined);
const updateRows = v.array(v.object({ document: name, bytes }));
const linkRow = v.object({ hash: v.string(), board: v.string(), role: v.picklist(ROLES) });
const countRow = v.object({ count: v.number() });
const idRows = v.array(v.object({ id: v.custom<BoardId>(isBoardId) }));
const boardRows = v.array(v.object({ id: v.custom<BoardId>(isBoardId), created_ms: v.number() }));
const pointRows = v.array(
  v.object({
    number: v.number(),
    at_ms: v.number(),
    why: v.picklist(POINT_REASONS),
    mark: v.string(),
    size: v.number(),
  }),
);
const linkRows = v.array(v.object({ hash: v.string(), role: v.picklist(ROLES) }));

interface Job {
  readonly run: () => void;
  readonly done: () => void;
  readonly failed: (error: unknown) => void;
}

/**
 * Boards in one SQLite file, in WAL mode with full sync. All that is asked for in one turn of the event loop is one transaction
 * with one sync, so that many boards cost little more than one.
 */
export class SqliteStore implements ListedStore {
  private readonly database: Database.Database;
  private readonly lock: Database.Database;
  private jobs: Job[] = [];
  private scheduled: NodeJS.Immediate | undefined;

  /**
   * @throws StoreInUse if another process has opened the folder
   * @throws StoreError if the file cannot be opened or is no database of ours
   */
  constructor(folder: string) {
    this.lock = lockFolder(folder);
    const path = join(folder, SQLITE_FILE);
    try {
      this.database = new Database(path);
      this.database.pragma('journal_mode = WAL');
      this.database.pragma('synchronous = FULL');
      // What is deleted is overwritten: somebody who took out what was theirs is not found in the file.
      this.database.pragma('secure_delete = ON');
      this.database.pragma('foreign_keys = ON');
      this.database.pragma('busy_timeout = 5000');
      this.database.exec(SCHEMA);
    } catch (error) {
      unlock(this.lock);
      throw new StoreError(`the database ${path} cannot be opened`, { cause: error });
    }
  }

  create(board: NewBoard, entries: readonly LoggedUpdate[]): Promise<void> {
    return this.write(() => {
      this.database
        .prepare('INSERT INTO boards (id, created_ms) VALUES (?, ?)')
        .run(board.id, board.createdMs);
      const link = this.database.prepare('INSERT INTO links (hash, board, role) VALUES (?, ?, ?)');
      for (const { hash, role } of board.links) link.run(hash, board.id, role);
      this.insert(board.id, entries);
    });
  }

  async append(
    board: BoardId,
    entries: readonly LoggedUpdate[],
    gone: readonly DocumentName[] = [],
  ): Promise<void> {
    await this.write(() => {
      for (const table of ['updates', 'point_documents']) {
        const clear = this.database.prepare(
          `DELETE FROM ${table} WHERE board = ? AND document = ?`,
        );
        for (const document of gone) clear.run(board, document);
      }
      this.insert(board, entries);
    });
    if (gone.length > 0) this.emptyWal();
  }

  renewLink(board: BoardId, { hash, role }: KeptLink): Promise<void> {
    return this.write(() => {
      this.database.prepare('DELETE FROM links WHERE board = ? AND role = ?').run(board, role);
      this.database
        .prepare('INSERT INTO links (hash, board, role) VALUES (?, ?, ?)')
        .run(hash, board, role);
    });
  }

  async load(board: BoardId): Promise<readonly LoggedUpdate[] | undefined> {
    return this.read(() => {
      if (!this.database.prepare('SELECT id FROM boards WHERE id = ?').get(board)) return undefined;
      const rows = this.database
        .prepare('SELECT document, bytes FROM updates WHERE board = ? ORDER BY seq')
        .all(board);
      return v
        .parse(updateRows, rows)
        .map(({ document, bytes: update }): LoggedUpdate => ({ document, update }));
    });
  }

  compact(board: BoardId, snapshots: readonly LoggedUpdate[]): Promise<void> {
    return this.write(() => {
      const clear = this.database.prepare('DELETE FROM updates WHERE board = ? AND document = ?');
      for (const { document } of snapshots) clear.run(board, document);
      this.insert(board, snapshots);
    });
  }

  async keepPoint(board: BoardId, { atMs, why, mark, documents }: NewPoint): Promise<number> {
    let number = 0;
    await this.write(() => {
      const next = this.database
        .prepare('SELECT coalesce(max(number), 0) + 1 AS count FROM points WHERE board = ?')
        .get(board);
      number = v.parse(countRow, next).count;
      const size = documents.reduce((sum, { update }) => sum + update.length, 0);
      this.database
        .prepare('INSERT INTO points VALUES (?, ?, ?, ?, ?, ?)')
        .run(board, number, atMs, why, mark, size);
      const insert = this.database.prepare(
        'INSERT INTO point_documents (board, number, document, bytes) VALUES (?, ?, ?, ?)',
      );
      for (const { document, update } of documents)
        insert.run(board, number, document, Buffer.from(update));
    });
    return number;
  }

  async listPoints(board: BoardId): Promise<readonly PointNote[]> {
    return this.read(() => {
      const text =
        'SELECT number, at_ms, why, mark, size FROM points WHERE board = ? ORDER BY number';
      const rows = v.parse(pointRows, this.database.prepare(text).all(board));
      return rows.map(({ at_ms, ...rest }) => ({ atMs: at_ms, ...rest }));
    });
  }

  async readPoint(board: BoardId, number: number): Promise<readonly LoggedUpdate[] | undefined> {
    return this.read(() => {
      const there = 'SELECT number FROM points WHERE board = ? AND number = ?';
      if (!this.database.prepare(there).get(board, number)) return undefined;
      const text =
        'SELECT document, bytes FROM point_documents WHERE board = ? AND number = ? ORDER BY seq';
      const rows = v.parse(updateRows, this.database.prepare(text).all(board, number));
      return rows.map(({ document, bytes: update }): LoggedUpdate => ({ document, update }));
    });
  }

  dropPoints(board: BoardId, numbers: readonly number[]): Promise<void> {
    return this.write(() => {
      const drop = this.database.prepare('DELETE FROM points WHERE board = ? AND number = ?');
      for (const number of numbers) drop.run(board, number);
    });
  }

  touch(boards: readonly BoardId[], atMs: number): Promise<void> {
    return this.write(() => {
      const touch = this.database.prepare(
        `INSERT INTO uses SELECT id, ? FROM boards WHERE id = ?
         ON CONFLICT (board) DO UPDATE SET used_ms = max(used_ms, excluded.used_ms)`,
      );
      for (const board of boards) touch.run(atMs, board);
    });
  }

  async removeIdle(beforeMs: number, nowMs: number): Promise<readonly BoardId[]> {
    let idle: readonly BoardId[] = [];
    await this.write(() => {
      this.database
        .prepare(
          'INSERT INTO uses SELECT id, ? FROM boards WHERE id NOT IN (SELECT board FROM uses)',
        )
        .run(nowMs);
      const text = 'SELECT board AS id FROM uses WHERE used_ms < ? ORDER BY board';
      const rows = v.parse(idRows, this.database.prepare(text).all(beforeMs));
      idle = rows.map(({ id }) => id);
      for (const board of idle) this.removeAll(board);
    });
    if (idle.length > 0) this.emptyWal();
    return idle;
  }

  remove(board: BoardId): Promise<void> {
    return this.write(() => this.removeAll(board));
  }

  private removeAll(board: BoardId): void {
    for (const table of ['uses', 'points', 'updates', 'links'])
      this.database.prepare(`DELETE FROM ${table} WHERE board = ?`).run(board);
    this.database.prepare('DELETE FROM boards WHERE id = ?').run(board);
  }

  async findLink(hash: string) {
    return this.read(() => {
      const row = this.database
        .prepare('SELECT hash, board, role FROM links WHERE hash = ?')
        .get(hash);
      if (row === undefined) return undefined;
      const link = v.parse(linkRow, row);
      return sameText(link.hash, hash)
        ? { board: link.board as BoardId, role: link.role }
        : undefined;
    });
  }

  async copyTo(path: string): Promise<void> {
    this.flush();
    try {
      this.database.prepare('VACUUM INTO ?').run(path);
    } catch (error) {
      throw new StoreError('the database cannot be copied', { cause: error });
    }
  }

  async listBoards(): Promise<readonly NewBoard[]> {
    return this.read(() => {
      const links = this.database.prepare(
        'SELECT hash, role FROM links WHERE board = ? ORDER BY hash',
      );
      const rows = this.database.prepare('SELECT id, created_ms FROM boards ORDER BY id').all();
      return v.parse(boardRows, rows).map(({ id, created_ms }) => ({
        id,
        createdMs: created_ms,
        links: v.parse(linkRows, links.all(id)),
      }));
    });
  }

  async countBoards(): Promise<number> {
    return this.read(() => {
      const row = this.database.prepare('SELECT count(*) AS count FROM boards').get();
      return v.parse(countRow, row).count;
    });
  }

  async close(): Promise<void> {
    this.flush();
    // All in one file, so that a copy of it is a copy of everything.
    this.emptyWal();
    this.database.close();
    unlock(this.lock);
  }

  private insert(board: BoardId, entries: readonly LoggedUpdate[]): void {
    const insert = this.database.prepare(
      'INSERT INTO updates (board, document, bytes) VALUES (?, ?, ?)',
    );
    for (const { document, update } of entries) insert.run(board, document, Buffer.from(update));
  }

  /** Brings everything into the one file, where what was deleted is overwritten. */
  private emptyWal(): void {
    try {
      this.database.pragma('wal_checkpoint(TRUNCATE)');
    } catch (error) {
      // On a full disk it stays in two files, and nothing is lost: the next start reads both.
      if (!(error instanceof Database.SqliteError)) throw error;
    }
  }

  private read<T>(answer: () => T): T {
    try {
      return answer();
    } catch (error) {
      throw new StoreError('the database cannot be read', { cause: error });
    }
  }

  private write(run: () => void): Promise<void> {
    return new Promise((done, failed) => {
      this.jobs.push({ run, done, failed });
      this.scheduled ??= setImmediate(() => this.flush());
    });
  }

  private flush(): void {
    clearImmediate(this.scheduled);
    this.scheduled = undefined;
    const { jobs } = this;
    this.jobs = [];
    if (jobs.length === 0) return;
    const error = this.transaction(jobs);
    if (error === undefined) for (const job of jobs) job.done();
    else if (jobs.length === 1) for (const job of jobs) job.failed(error);
    else for (const job of jobs) this.flushAlone(job);
  }

  /** After a shared transaction failed, each has its own, so that one board's fault is not another's. */
  private flushAlone(job: Job): void {
    const error = this.transaction([job]);
    if (error === undefined) job.done();
    else job.failed(error);
  }

  private transaction(jobs: readonly Job[]): StoreError | undefined {
    try {
      this.database.exec('BEGIN IMMEDIATE');
      for (const job of jobs) job.run();
      this.database.exec('COMMIT');
      return undefined;
    } catch (error) {
      // A full disk makes SQLite roll back by itself; rolling back once more would hide the reason.
      if (this.database.inTransaction) this.database.exec('ROLLBACK');
      return new StoreError('the database cannot be written', { cause: error });
    }
  }
}

/**
 * Takes the folder for this process alone, until it ends in whatever way. Two servers on one folder would shorten each other's logs.
 * The lock is a transaction on a file of its own, so that other programs can still read and copy the database.
 */
function lockFolder(folder: string): Database.Database {
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
function unlock(lock: Database.Database): void {
  lock.exec('ROLLBACK');
  lock.close();
}
