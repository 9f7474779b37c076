import type { BoardId, Ms } from '../../lib/units';
import type { PointReason } from '../../shared/board/past';
import type { DocumentName, Role } from '../../shared/board/roles';

/** One change of one document, as Yjs wrote it (encoding V1). */
export interface LoggedUpdate {
  readonly document: DocumentName;
  readonly update: Uint8Array;
}

/** A link as it is kept: never the secret itself. */
export interface KeptLink {
  readonly role: Role;
  /** SHA-256 of the secret, hex. */
  readonly hash: string;
}

/** A board as it was at one moment. */
export interface NewPoint {
  readonly atMs: Ms;
  readonly why: PointReason;
  /** What tells one agreement from another, as its maker has it. */
  readonly mark: string;
  /** One entry a document. */
  readonly documents: readonly LoggedUpdate[];
}

export interface PointNote extends Omit<NewPoint, 'documents'> {
  /** Grows with every point of the board. */
  readonly number: number;
  /** Bytes of its documents. */
  readonly size: number;
}

export interface NewBoard {
  readonly id: BoardId;
  readonly createdMs: Ms;
  readonly links: readonly KeptLink[];
}

/**
 * Where boards are kept. All of it is durable when the promise resolves, and nothing of it happened when it rejects.
 * Every store passes the same suite (tests/server/store/conformance.ts).
 * @throws StoreError from every call if the disk or the database does not do its part
 */
export interface Store {
  /** Makes a board with its links and first updates, all or nothing. */
  create(board: NewBoard, entries: readonly LoggedUpdate[]): Promise<void>;
  /**
   * Adds to a board's log, in this order, all or nothing.
   * @param gone documents of which nothing that is there now may be left, in no kept point and not even in free space of the file
   */
  append(
    board: BoardId,
    entries: readonly LoggedUpdate[],
    gone?: readonly DocumentName[],
  ): Promise<void>;
  /** A board's log in the order in which it was written; undefined if there is no such board. */
  load(board: BoardId): Promise<readonly LoggedUpdate[] | undefined>;
  /**
   * Puts one update for each of these documents in the place of all that is there of them.
   * The caller sees to it that nothing is appended to the board meanwhile.
   * @param wipes whether nothing of what was there may be left, as with `append`
   */
  compact(board: BoardId, snapshots: readonly LoggedUpdate[], wipes?: boolean): Promise<void>;
  /** Keeps a board as it is. Its documents are cleared by `append` like others. @returns its number @throws StoreError also if there is no such board */
  keepPoint(board: BoardId, point: NewPoint): Promise<number>;
  /** In the order in which they were kept. */
  listPoints(board: BoardId): Promise<readonly PointNote[]>;
  /** The documents of a point; undefined if it is not there. */
  readPoint(board: BoardId, number: number): Promise<readonly LoggedUpdate[] | undefined>;
  dropPoints(board: BoardId, numbers: readonly number[]): Promise<void>;
  /**
   * Notes that a server runs at this moment. Where the last such note is later, or earlier by more than `mostMs`, a clock was set, no server
   * ran for a while, or all this is from a copy: then every noted use is moved as far, so that time in which no server ran does not count.
   */
  noteTime(atMs: Ms, mostMs: Ms): Promise<void>;
  /** Notes that these boards, as far as they are there, were used at this moment. A note never goes back. */
  touch(boards: readonly BoardId[], atMs: Ms): Promise<void>;
  /**
   * Removes the boards that were last used before a moment. One whose use was never noted counts as used now.
   * @returns which were removed
   */
  removeIdle(beforeMs: Ms, nowMs: Ms): Promise<readonly BoardId[]>;
  /**
   * Removes a board, its log, its kept points and its links, of which nothing may be left, not even in free space of the file.
   * @returns whether there was such a board
   */
  remove(board: BoardId): Promise<boolean>;
  /** The link with this hash. */
  findLink(hash: string): Promise<{ readonly board: BoardId; readonly role: Role } | undefined>;
  /** The hash of the link that a board has for this role; undefined if there is no such board. By an index, since it is asked at the door. */
  presentLink(board: BoardId, role: Role): Promise<string | undefined>;
  /** Puts one link in the place of all that a board has for this role. */
  renewLink(board: BoardId, link: KeptLink): Promise<void>;
  countBoards(): Promise<number>;
  /** Writes a whole copy of everything into a new file, as it is on disk at one moment. */
  copyTo(path: string): Promise<void>;
  /** Writes what is waiting and lets go of the file or the connection. */
  close(): Promise<void>;
}

/** The disk or the database did not do its part. */
export class StoreError extends Error {
  override name = 'StoreError';
}

/** The board is not there, or not any more. */
export class NoSuchBoard extends StoreError {
  override name = 'NoSuchBoard';
}

/** Another process keeps its boards there. */
export class StoreInUse extends StoreError {
  override name = 'StoreInUse';
}
