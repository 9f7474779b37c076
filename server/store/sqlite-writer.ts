import { truncateSync } from 'node:fs';
import Database from 'libsql';
import * as v from 'valibot';
import type { BoardId } from '../../lib/units';
import type { Token } from './journal';
import { isSystemError, Journal, newToken } from './journal';
import { tokenRow } from './sqlite-schema';
import type { LoggedUpdate } from './store';
import { StoreError } from './store';

/** How far the journal is written before the database takes what is in it, bytes: some hundreds of edits, in a few ms. */
const JOURNAL_LIMIT = 65_536;

interface Asked {
  readonly done: () => void;
  readonly failed: (error: unknown) => void;
}

interface AppendJob extends Asked {
  readonly kind: 'append';
  readonly board: BoardId;
  readonly entries: readonly LoggedUpdate[];
}

interface ChangeJob extends Asked {
  readonly kind: 'change';
  readonly run: () => void;
  /** Of what it deletes nothing may be left on the disk. */
  readonly wipes: boolean;
}

type Job = AppendJob | ChangeJob;

/**
 * All that is written into a database, with a journal before it: in the order in which it was asked for, and all that waits while the disk
 * is busy with one sync.
 */
export class SqliteWriter {
  private readonly journal: Journal;
  /** What is in the journal and not yet in the database. */
  private readonly pending = new Map<BoardId, LoggedUpdate[]>();
  /** Boards that are known to be there. */
  private readonly known = new Set<BoardId>();
  private jobs: Job[] = [];
  private isWorking = false;
  private mustWipe = false;

  /** @throws Error if the journal or its token in the database cannot be read */
  constructor(
    private readonly database: Database.Database,
    private readonly journalPath: string,
  ) {
    this.journal = Journal.open(journalPath, this.token());
    // A database that was put back from a copy may lack boards that were made since.
    for (const { board, entries } of this.journal.found)
      if (this.isThere(board)) this.note(board, entries);
  }

  /** Adds to a board's log, in this order. @throws StoreError if it cannot be kept; then nothing of it is there */
  append(board: BoardId, entries: readonly LoggedUpdate[]): Promise<void> {
    return this.ask((done, failed) => ({ kind: 'append', board, entries, done, failed }));
  }

  /**
   * Changes the database, which has taken all that was asked for before.
   * @param run within a transaction
   * @param wipes whether nothing of what it deletes may be left on the disk
   * @throws StoreError if it cannot be done; then nothing of it has happened
   */
  change(run: () => void, wipes: boolean): Promise<void> {
    return this.ask((done, failed) => ({ kind: 'change', run, wipes, done, failed }));
  }

  /** Has the database take all that was asked for up to now. @throws StoreError if it cannot */
  takeIn(): Promise<void> {
    return this.change(() => undefined, false);
  }

  /** What is kept of a board's log and not yet in the database. */
  pendingOf(board: BoardId): readonly LoggedUpdate[] {
    return this.pending.get(board) ?? [];
  }

  /** The board is no longer there. */
  forget(board: BoardId): void {
    this.known.delete(board);
  }

  /** Adds rows, within a transaction. */
  insert(board: BoardId, entries: readonly LoggedUpdate[]): void {
    const insert = this.database.prepare(
      'INSERT INTO updates (board, document, bytes) VALUES (?, ?, ?)',
    );
    for (const { document, update } of entries) insert.run(board, document, Buffer.from(update));
  }

  /** Lets go of the journal when all that was asked for is kept; it is empty then, if the disk allows. */
  async close(): Promise<void> {
    try {
      await this.takeIn();
      truncateSync(this.journalPath);
    } catch (error) {
      // On a full disk it stays in two files, and nothing is lost: the next start reads both.
      if (!isSystemError(error) && !(error instanceof StoreError)) throw error;
    }
    this.emptyWal();
    this.journal.close();
  }

  /** The token of the records that the database has not yet taken. */
  private token(): Token {
    const read = this.database.prepare('SELECT token FROM journal');
    const found = read.get() ?? this.changeToken(newToken());
    return v.parse(tokenRow, found).token;
  }

  private changeToken(token: Token): { readonly token: Token } {
    this.database
      .prepare('INSERT OR REPLACE INTO journal (place, token) VALUES (?, ?)')
      .run(1, Buffer.from(token));
    return { token };
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

  private ask(jobOf: (done: Asked['done'], failed: Asked['failed']) => Job): Promise<void> {
    return new Promise((done, failed) => {
      const job = jobOf(done, failed);
      this.jobs.push(job);
      if (this.isWorking) return;
      this.isWorking = true;
      // The database holds up the process, so it waits for what else is asked for in this turn. The journal does not: it begins at once.
      if (job.kind === 'append') this.workOn();
      else setImmediate(() => this.workOn());
    });
  }

  /** Does what is asked for, batch by batch, until nothing is left. */
  private workOn(): void {
    while (this.jobs.length > 0) {
      const batch = this.takeBatch();
      try {
        // It comes back here when the journal has done its part.
        if (this.keepInJournal(batch)) return;
        this.keepInDatabase(batch);
      } catch (error) {
        for (const { failed } of batch) failed(error);
      }
    }
    this.isWorking = false;
  }

  /** The jobs up to the first one of another kind. */
  private takeBatch(): readonly Job[] {
    const [first] = this.jobs;
    const other = this.jobs.findIndex(({ kind }) => kind !== first?.kind);
    return this.jobs.splice(0, other < 0 ? this.jobs.length : other);
  }

  /** @returns false if the database has to keep them, and nothing has happened yet */
  private keepInJournal(jobs: readonly Job[]): boolean {
    if (!this.journal.isUsable) return false;
    const appends: AppendJob[] = [];
    const records: Uint8Array[] = [];
    let end = this.journal.length;
    for (const job of jobs) {
      if (job.kind !== 'append' || !this.isThere(job.board)) return false;
      // A record of what does not fit would be made for nothing.
      const bytes = job.entries.reduce((sum, { update }) => sum + update.length, 0);
      if (end + bytes > JOURNAL_LIMIT) return false;
      const record = this.journal.record(job);
      appends.push(job);
      records.push(record);
      end += record.length;
    }
    if (end > JOURNAL_LIMIT) return false;
    this.journal.append(records, (error) => {
      // The database tries to keep them with all that is in the journal, and says so if it cannot.
      if (error) this.keepInDatabase(appends);
      else
        for (const { board, entries, done } of appends) {
          this.note(board, entries);
          done();
        }
      this.workOn();
    });
    return true;
  }

  private isThere(board: BoardId): boolean {
    if (this.known.has(board)) return true;
    const found = this.database.prepare('SELECT id FROM boards WHERE id = ?').get(board);
    if (found !== undefined) this.known.add(board);
    return found !== undefined;
  }

  private note(board: BoardId, entries: readonly LoggedUpdate[]): void {
    const there = this.pending.get(board);
    if (there) there.push(...entries);
    else this.pending.set(board, [...entries]);
  }

  private keepInDatabase(jobs: readonly Job[]): void {
    const error = this.transaction(jobs);
    if (error === undefined) for (const { done } of jobs) done();
    else if (jobs.length === 1) for (const { failed } of jobs) failed(error);
    // After a shared transaction failed, each has its own, so that one board's fault is not another's.
    else for (const job of jobs) this.keepInDatabase([job]);
  }

  /** Does these jobs, after all that is in the journal: all or nothing. */
  private transaction(jobs: readonly Job[]): StoreError | undefined {
    const token = newToken();
    const hasPending = this.journal.length > 0 || !this.journal.isUsable;
    try {
      this.database.exec('BEGIN IMMEDIATE');
      for (const [board, entries] of this.pending) this.insert(board, entries);
      if (hasPending) this.changeToken(token);
      for (const job of jobs)
        if (job.kind === 'append') this.insert(job.board, job.entries);
        else job.run();
      this.database.exec('COMMIT');
    } catch (error) {
      // A full disk makes SQLite roll back by itself; rolling back once more would hide the reason.
      if (this.database.inTransaction) this.database.exec('ROLLBACK');
      return new StoreError('the database cannot be written', { cause: error });
    }
    this.pending.clear();
    if (hasPending) this.journal.restart(token);
    if (this.mustWipe || jobs.some((job) => job.kind === 'change' && job.wipes)) this.wipe();
    return undefined;
  }

  /** Leaves nothing on the disk of what was deleted. */
  private wipe(): void {
    this.emptyWal();
    try {
      this.journal.wipe();
      this.mustWipe = false;
    } catch (error) {
      // A disk that cannot be written now: it is done with the next change.
      if (!isSystemError(error)) throw error;
      this.mustWipe = true;
    }
  }
}
