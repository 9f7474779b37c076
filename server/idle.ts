import type { BoardId, Ms } from '../lib/units';
import type { Report } from './failure';
import { HOUR } from './limits';
import type { Store } from './store/store';
import { StoreError } from './store/store';

const DAY: Ms = 24 * HOUR;
const NOTE_AFTER: Ms = 1000;
/** How much longer than between two sweeps no server may have run: a restart does not matter, a holiday does. */
const MOST_BETWEEN: Ms = 2 * HOUR;

export interface IdleWorld {
  readonly store: Store;
  readonly now: () => Ms;
  readonly report: Report;
  /** Boards that are in memory. */
  readonly open: () => readonly BoardId[];
  /** After how many days without use a board is deleted; undefined: never. */
  readonly idleDays: number | undefined;
}

/**
 * Notes which boards are used, and deletes those that nobody has opened for as long as the operator has said, if they have. Only time in
 * which a server runs counts: a clock that was set, a summer in a cupboard or an old copy that was put back deletes nothing. Uses are noted
 * whether or not anything is to be deleted, so that it holds from the day on which it is said.
 */
export class IdleBoards {
  private readonly timer: NodeJS.Timeout;
  private readonly opened = new Set<BoardId>();
  private soon: NodeJS.Timeout | undefined;
  private work: Promise<void> = Promise.resolve();

  /** @param removed told which boards were deleted */
  constructor(
    private readonly world: IdleWorld,
    private readonly removed: (boards: readonly BoardId[]) => void,
  ) {
    this.timer = setInterval(() => this.sweep(), HOUR);
    this.timer.unref();
    this.sweep();
  }

  /** A board is opened. It is noted a little later, together with others, so that nobody who opens one waits for it. */
  note(board: BoardId): void {
    this.opened.add(board);
    this.soon ??= setTimeout(() => this.noteOpened(), NOTE_AFTER).unref();
  }

  /** Notes what was opened, and begins no more. */
  async stop(): Promise<void> {
    clearInterval(this.timer);
    this.noteOpened();
    await this.work;
  }

  private noteOpened(): void {
    clearTimeout(this.soon);
    this.soon = undefined;
    const boards = [...this.opened];
    this.opened.clear();
    if (boards.length > 0) this.inTurn(() => this.world.store.touch(boards, this.world.now()));
  }

  private sweep(): void {
    const { store, now, open, idleDays } = this.world;
    this.inTurn(async () => {
      // Before any use is noted, so that a clock that was set moves none that it has said.
      await store.noteTime(now(), MOST_BETWEEN);
      const boards = open();
      if (boards.length > 0) await store.touch(boards, now());
      if (idleDays === undefined) return;
      this.removed(await store.removeIdle(now() - idleDays * DAY, now()));
    });
  }

  /** Whatever goes wrong is told; the next sweep tries again, and no server ends for it. */
  private inTurn(work: () => Promise<void>): void {
    this.work = this.work.then(work).catch((error: unknown) => {
      const words =
        error instanceof StoreError
          ? 'Which boards are used could not be noted.'
          : 'Something went wrong while idle boards were looked for; the next time it is tried again.';
      this.world.report(words, error);
    });
  }
}
