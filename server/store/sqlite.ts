import { join } from 'node:path';
import Database from 'libsql';
import * as v from 'valibot';
import type { BoardId, Ms } from '../../lib/units';
import type { DocumentName, Role } from '../../shared/board/roles';
import { sameText } from '../links';
import { lockFolder, unlock } from './folder-lock';
import type { ListedStore } from './shared';
import {
  boardRows,
  countRow,
  hashRow,
  idRows,
  linkRow,
  linkRows,
  pointRows,
  SCHEMA,
  timeRow,
  updateRows,
} from './sqlite-schema';
import { SqliteWriter } from './sqlite-writer';
import type { KeptLink, LoggedUpdate, NewBoard, NewPoint, PointNote } from './store';
import { StoreError } from './store';

/** Holds everything, in the data folder, once the journal beside it is empty. */
export const SQLITE_FILE = 'passround.sqlite';
const JOURNAL_FILE = 'passround.journal';

/**
 * Boards in one SQLite file, in WAL mode with full sync, and beside it a journal of the updates that the file has not yet taken. All that
 * waits while the disk is busy is kept with one sync, so that many boards cost little more than one; everything in the order in which it
 * was asked for.
 */
export class SqliteStore implements ListedStore {
  private readonly database: Database.Database;
  private readonly lock: Database.Database;
  private readonly writer: SqliteWriter;

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
      this.writer = new SqliteWriter(this.database, join(folder, JOURNAL_FILE));
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
      this.writer.insert(board.id, entries);
    });
  }

  append(
    board: BoardId,
    entries: readonly LoggedUpdate[],
    gone: readonly DocumentName[] = [],
  ): Promise<void> {
    if (gone.length === 0) return this.writer.append(board, entries);
    const run = () => {
      for (const table of ['updates', 'point_documents']) {
        const clear = this.database.prepare(
          `DELETE FROM ${table} WHERE board = ? AND document = ?`,
        );
        for (const document of gone) clear.run(board, document);
      }
      this.writer.insert(board, entries);
    };
    return this.write(run, true);
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
      const taken = v
        .parse(updateRows, rows)
        .map(({ document, bytes: update }): LoggedUpdate => ({ document, update }));
      return [...taken, ...this.writer.pendingOf(board)];
    });
  }

  compact(board: BoardId, snapshots: readonly LoggedUpdate[], wipes = false): Promise<void> {
    return this.write(() => {
      const clear = this.database.prepare('DELETE FROM updates WHERE board = ? AND document = ?');
      for (const { document } of snapshots) clear.run(board, document);
      this.writer.insert(board, snapshots);
    }, wipes);
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

  noteTime(atMs: Ms, mostMs: Ms): Promise<void> {
    return this.write(() => {
      // A database from before this was noted says when somebody was last there.
      const text =
        'SELECT coalesce((SELECT at_ms FROM ran), (SELECT max(used_ms) FROM uses)) AS at_ms';
      const { at_ms: last } = v.parse(timeRow, this.database.prepare(text).get());
      const gap = atMs - (last ?? atMs);
      if (gap < 0 || gap > mostMs)
        this.database.prepare('UPDATE uses SET used_ms = used_ms + ?').run(gap);
      this.database.prepare('INSERT OR REPLACE INTO ran (place, at_ms) VALUES (1, ?)').run(atMs);
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
    const run = () => {
      this.database
        .prepare(
          'INSERT INTO uses SELECT id, ? FROM boards WHERE id NOT IN (SELECT board FROM uses)',
        )
        .run(nowMs);
      const text = 'SELECT board AS id FROM uses WHERE used_ms < ? ORDER BY board';
      const rows = v.parse(idRows, this.database.prepare(text).all(beforeMs));
      idle = rows.map(({ id }) => id);
      for (const board of idle) this.removeAll(board);
    };
    await this.write(run, true);
    return idle;
  }

  async remove(board: BoardId): Promise<boolean> {
    let wasThere = false;
    await this.write(() => {
      wasThere = this.removeAll(board);
    }, true);
    return wasThere;
  }

  private removeAll(board: BoardId): boolean {
    this.writer.forget(board);
    for (const table of ['uses', 'points', 'updates', 'links'])
      this.database.prepare(`DELETE FROM ${table} WHERE board = ?`).run(board);
    return this.database.prepare('DELETE FROM boards WHERE id = ?').run(board).changes > 0;
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

  async presentLink(board: BoardId, role: Role): Promise<string | undefined> {
    return this.read(() => {
      const row = this.database
        .prepare('SELECT hash FROM links WHERE board = ? AND role = ?')
        .get(board, role);
      return row === undefined ? undefined : v.parse(hashRow, row).hash;
    });
  }

  async copyTo(path: string): Promise<void> {
    await this.writer.takeIn();
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
    // All in one file, so that a copy of it is a copy of everything.
    await this.writer.close();
    this.database.close();
    unlock(this.lock);
  }

  private read<T>(answer: () => T): T {
    try {
      return answer();
    } catch (error) {
      throw new StoreError('the database cannot be read', { cause: error });
    }
  }

  private write(run: () => void, wipes = false): Promise<void> {
    return this.writer.change(run, wipes);
  }
}
