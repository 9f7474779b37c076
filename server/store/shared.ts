import type { BoardId, Ms } from '../../lib/units';
import type { DocumentName } from '../../shared/board/roles';
import type { Codes } from '../codes';
import type { LoggedUpdate, NewBoard, Store } from './store';

/** What a board's log holds past a version, and the version that it brings one to. */
export interface Stretch {
  readonly version: number;
  /** In the order in which they were written. Snapshots and gone documents have taken the place of what they hold. */
  readonly entries: readonly LoggedUpdate[];
}

/**
 * A store that several nodes write at once. A board's version counts what was written to its log, without gaps and in one order for all
 * nodes; whoever writes says which version they know, and nothing is written over something they have not read. What is gone is in no point
 * that is kept later, either, whatever the node knows that keeps it.
 */
export interface SharedStore extends Store {
  /**
   * Adds to a board's log like `append`, if nobody has written since `known`.
   * @returns the version from then on; undefined if others have written: nothing has happened, read `since` first
   */
  appendNext(
    board: BoardId,
    known: number,
    entries: readonly LoggedUpdate[],
    gone: readonly DocumentName[],
  ): Promise<number | undefined>;
  /** Replaces logs like `compact`, if nobody has written since `known`; answers like `appendNext`. */
  compactNext(
    board: BoardId,
    known: number,
    snapshots: readonly LoggedUpdate[],
  ): Promise<number | undefined>;
  /** All that a reader who knows the board up to `known` lacks (0: everything); undefined if there is no such board. */
  since(board: BoardId, known: number): Promise<Stretch | undefined>;
  /** Versions of the boards that are there. */
  versions(boards: readonly BoardId[]): Promise<ReadonlyMap<BoardId, number>>;
  /** Time of day at the database, ms since the Unix epoch: the one clock that all nodes share. */
  time(): Promise<number>;
  /** Codes for a second browser that every node takes, whichever gave them. @param now the time that all nodes share */
  codes(now: () => Ms): Codes;
  /** A value that all nodes share: the first that was offered under this name. */
  settle(name: string, offered: string): Promise<string>;
}

/** A store whose boards can be listed, to be moved elsewhere. */
export interface ListedStore extends Store {
  listBoards(): Promise<readonly NewBoard[]>;
}
