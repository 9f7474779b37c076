import type { BoardId } from '../../lib/units';
import type { DocumentName } from '../../shared/board/roles';
import { LATE_AFTER } from '../limits';
import type { Metrics } from '../metrics';
import type { LoggedUpdate, Store } from '../store/store';

/** How often shortening is tried again while other servers write. */
const COMPACT_TRIES = 5;

interface Waiting {
  /** How many appends must be kept. */
  readonly upTo: number;
  readonly kept: () => void;
  readonly lost: (error: unknown) => void;
}

/** Where a room's batches go. */
export interface RoomStore extends Pick<Store, 'append'> {
  /** As in `Store`; false if somebody else has written meanwhile, and then nothing was done. */
  compact(board: BoardId, snapshots: readonly LoggedUpdate[], wipes: boolean): Promise<unknown>;
}

/**
 * One room's way to the disk. Writes one batch at a time, so that a change is never on disk without those before it, and tells in order
 * when everything up to a moment is durable. After a failure it takes nothing more.
 */
export class RoomLog {
  private entries: LoggedUpdate[] = [];
  private gone: DocumentName[] = [];
  private waiting: Waiting[] = [];
  /** Appends that were asked for, that are in the batch under way or before it, and that are kept. */
  private asked = 0;
  private taken = 0;
  private kept = 0;
  private running: Promise<void> | undefined;
  private failure: { readonly error: unknown } | undefined;
  private readonly written = new Map<DocumentName, number>();

  /**
   * @param onFailure called once, as soon as a batch could not be kept
   * @param onLate called when a batch takes longer than LATE_AFTER, and when it is kept after all
   * @param onFault told of a fault of ours in what was to be done once something was kept
   */
  constructor(
    private readonly board: BoardId,
    private readonly store: RoomStore,
    private readonly metrics: Pick<Metrics, 'noteWrite' | 'noteFailedWrite'>,
    private readonly onFailure: (error: unknown) => void,
    private readonly onLate: (isLate: boolean) => void,
    private readonly onFault: (error: unknown) => void,
  ) {}

  /** @param gone documents of which nothing from before is to be left, also not of what waits */
  append(entries: readonly LoggedUpdate[], gone: readonly DocumentName[] = []): void {
    if (this.failure || entries.length + gone.length === 0) return;
    this.asked += 1;
    if (gone.length > 0) {
      this.entries = this.entries.filter(({ document }) => !gone.includes(document));
      this.gone.push(...gone);
    }
    this.entries.push(...entries);
    this.start();
  }

  /** Runs `kept` once all that was appended so far is durable: at once if it is, and in the order of the calls. */
  whenKept(kept: () => void, lost: (error: unknown) => void = () => undefined): void {
    if (this.failure) lost(this.failure.error);
    else if (this.kept === this.asked) kept();
    else this.waiting.push({ upTo: this.asked, kept, lost });
  }

  /** Updates of a document on disk since it was last a single snapshot, as far as this room knows. */
  lengthOf(document: DocumentName): number {
    return this.written.get(document) ?? 0;
  }

  /** Counts what was there when the room was loaded, and what was written since. */
  noteWritten(entries: readonly LoggedUpdate[]): void {
    for (const { document } of entries) this.written.set(document, this.lengthOf(document) + 1);
  }

  /**
   * Replaces the logs of documents by snapshots, between two batches, when all that is in memory is on disk. Gives up after some tries
   * while other servers write; then nothing was done.
   * @param wipes whether nothing of the old logs may be left on the disk
   * @throws StoreError if it could not be done; the logs are then as before
   */
  async compact(snapshots: () => readonly LoggedUpdate[], wipes: boolean): Promise<void> {
    for (let tries = 0; tries < COMPACT_TRIES; tries += 1)
      if (await this.compactOnce(snapshots, wipes)) return;
  }

  /** @returns false if somebody else has written meanwhile, and then nothing was done */
  private async compactOnce(
    snapshots: () => readonly LoggedUpdate[],
    wipes: boolean,
  ): Promise<boolean> {
    while (this.running !== undefined) await this.running;
    if (this.failure) return true;
    const work = this.replace(snapshots(), wipes);
    // Whoever waits for `running` waits for the end, not for the outcome, which is the caller's.
    this.running = work.then(
      () => this.ended(),
      () => this.ended(),
    );
    return work;
  }

  /** Hands over all that waits for the next batch, to be written with the one that is under way. */
  takeWaiting(): {
    readonly entries: readonly LoggedUpdate[];
    readonly gone: readonly DocumentName[];
  } {
    const { entries, gone } = this;
    this.entries = [];
    this.gone = [];
    this.taken = this.asked;
    for (const document of gone) this.written.delete(document);
    this.noteWritten(entries);
    return { entries, gone };
  }

  /** Takes back what waits for documents that somebody else has removed. */
  drop(documents: readonly DocumentName[]): void {
    this.entries = this.entries.filter(({ document }) => !documents.includes(document));
    for (const document of documents) this.written.delete(document);
  }

  private async replace(snapshots: readonly LoggedUpdate[], wipes: boolean): Promise<boolean> {
    // A shortening that was under way may have taken everything away without overwriting it.
    if (snapshots.length === 0 && !wipes) return true;
    const done = await this.store.compact(this.board, snapshots, wipes);
    if (done === false) return false;
    for (const { document } of snapshots) this.written.set(document, 1);
    return true;
  }

  private ended(): void {
    this.running = undefined;
    if (this.hasMore) this.start();
  }

  private get hasMore(): boolean {
    return this.failure === undefined && this.taken < this.asked;
  }

  private start(): void {
    this.running ??= this.run().then(() => this.ended());
  }

  private async run(): Promise<void> {
    while (this.hasMore) {
      const { entries, gone } = this;
      this.entries = [];
      this.gone = [];
      this.taken = this.asked;
      const begin = performance.now();
      // What was dropped meanwhile leaves nothing to write.
      const isNothing = entries.length + gone.length === 0;
      const writing = isNothing ? undefined : this.store.append(this.board, entries, gone);
      // All else is done while the disk works, or when those who wait have been told.
      const done = this.watch();
      try {
        await writing;
      } catch (error) {
        done();
        this.fail(error);
        break;
      }
      for (const document of gone) this.written.delete(document);
      this.noteWritten(entries);
      this.release();
      done();
      if (!isNothing) this.metrics.noteWrite(performance.now() - begin);
    }
  }

  /** Tells when what is begun now takes too long, until the answer is called. */
  private watch(): () => void {
    let isLate = false;
    const timer = setTimeout(() => {
      isLate = true;
      this.onLate(true);
    }, LATE_AFTER);
    return () => {
      clearTimeout(timer);
      if (isLate) this.onLate(false);
    };
  }

  /** Tells those who waited for what is kept now, in the order in which they asked. */
  private release(): void {
    this.kept = this.taken;
    const still = this.waiting.findIndex(({ upTo }) => upTo > this.kept);
    const done = this.waiting.splice(0, still < 0 ? this.waiting.length : still);
    for (const { kept } of done)
      try {
        kept();
      } catch (error) {
        // What the others waited for is kept all the same.
        this.onFault(error);
      }
  }

  /** Takes nothing more: what waits for its turn is lost, what is under way is kept. Ends when nothing is under way. */
  async giveUp(error: unknown): Promise<void> {
    this.failure ??= { error };
    this.entries = [];
    this.gone = [];
    const lost = this.waiting.filter(({ upTo }) => upTo > this.taken);
    this.waiting = this.waiting.filter(({ upTo }) => upTo <= this.taken);
    for (const waiting of lost) waiting.lost(error);
    while (this.running !== undefined) await this.running;
  }

  private fail(error: unknown): void {
    this.metrics.noteFailedWrite();
    this.failure = { error };
    const { waiting } = this;
    this.entries = [];
    this.gone = [];
    this.waiting = [];
    this.onFailure(error);
    for (const { lost } of waiting) lost(error);
  }
}
