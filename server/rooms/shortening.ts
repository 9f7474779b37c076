import type { BoardId } from '../../lib/units';
import type { Report } from '../failure';
import type { LiveDocuments } from './documents';
import type { RoomLog } from './log';

/** The parts of a room that shortening looks at. */
export interface ShortenedRoom {
  readonly documents: LiveDocuments;
  readonly log: RoomLog;
  readonly report: Report;
}

/** Makes one snapshot of each document that has a log, one shortening at a time. Nothing is lost if it fails. */
export class Shortening {
  private isRunning = false;
  /** Was it asked for while it was going on? */
  private isAskedAgain = false;
  /** Is what the next one takes away to be overwritten? */
  private mustWipe = false;

  constructor(
    private readonly board: BoardId,
    private readonly room: ShortenedRoom,
  ) {}

  /** Shortens at once, whatever else is going on. */
  async now(): Promise<void> {
    const { documents, log, report } = this.room;
    const wipes = this.mustWipe;
    this.mustWipe = false;
    try {
      const snapshots = () =>
        documents.names
          .filter((name) => log.lengthOf(name) > 1)
          .map((document) => ({ document, update: documents.stateOf(document) }));
      await log.compact(snapshots, wipes);
    } catch (error) {
      this.mustWipe ||= wipes;
      report(`The log of board ${this.board} could not be shortened.`, error);
    }
  }

  /** Shortens, and once more if that is asked for meanwhile. @param wipes whether nothing of what is shortened may be left on the disk */
  soon(wipes: boolean): void {
    this.mustWipe ||= wipes;
    if (this.isRunning) {
      this.isAskedAgain = true;
      return;
    }
    this.isRunning = true;
    void this.now().then(() => {
      this.isRunning = false;
      if (!this.isAskedAgain) return;
      this.isAskedAgain = false;
      this.soon(false);
    });
  }
}
