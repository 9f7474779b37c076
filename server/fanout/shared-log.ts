import type { BoardId, Ms, ParticipantId } from '../../lib/units';
import type { DocumentName } from '../../shared/board/roles';
import { parseDocumentName } from '../../shared/board/roles';
import type { Report } from '../failure';
import type { SharedStore } from '../store/shared';
import type { LoggedUpdate } from '../store/store';
import { NoSuchBoard, StoreError } from '../store/store';
import type { Fanout } from './fanout';
import type { NodeMessage } from './message';
import { readMessage, writeMessage } from './message';

/** Changes that are not on disk yet, after the documents of which nothing is to be left. */
export interface Waiting {
  readonly entries: readonly LoggedUpdate[];
  readonly gone: readonly DocumentName[];
}

/** How a room takes what other nodes have done. None of it waits. */
export interface Ear {
  /** Takes what others have written, in order; some of it may be known. What must be written in answer waits like any other change. */
  readonly merge: (entries: readonly LoggedUpdate[]) => void;
  /** Takes all changes that wait to be written, in order. */
  readonly takeWaiting: () => Waiting;
  /** Takes note that these are on disk. */
  readonly kept: (entries: readonly LoggedUpdate[]) => void;
  /** The board was deleted. */
  readonly boardIsGone: () => void;
  readonly isGone: (participant: ParticipantId) => boolean;
  readonly hearPresence: (server: string, bytes: Uint8Array) => void;
  /** Who is on this node; undefined for nobody. */
  readonly presenceHere: () => Uint8Array | undefined;
  /** Tells everybody on this node that what others write comes late, or that it does not any more. */
  readonly tellLate: (isLate: boolean) => void;
  /** Has everybody on this node say themselves anew. */
  readonly askPresence: () => void;
  readonly forgetServer: (server: string) => void;
}

export interface SharedLogWorld {
  readonly node: string;
  readonly store: SharedStore;
  readonly fanout: Fanout;
  readonly report: Report;
  /** How long a database that does not answer is tried again before a change counts as not kept. */
  readonly patienceMs: Ms;
}

/** Largest batch that is said as it is, bytes; others read it from the database. */
const MAX_SAID = 64 * 1024;
/** Pause between two tries, ms. */
const PAUSE = 100;

/**
 * One board's log, which other nodes write too. Does one thing at a time, and everything in the order of the board's versions: nothing is
 * written before all that others wrote is known here, so the log is as if one server had written it. A change is said after it is kept.
 * Whoever hears a version that is not the next one reads the log, as does whoever asks for `refresh`.
 */
export class SharedLog {
  private known = 0;
  private last: Promise<unknown> = Promise.resolve();
  private ear: Ear | undefined;
  private unlisten: (() => void) | undefined;

  /** @param open holds this log from `begin` to `end` */
  constructor(
    readonly board: BoardId,
    private readonly world: SharedLogWorld,
    private readonly open: Set<SharedLog>,
  ) {}

  /** The newest version that is known here. */
  get version(): number {
    return this.known;
  }

  async load(): Promise<readonly LoggedUpdate[] | undefined> {
    const stretch = await this.world.store.since(this.board, 0);
    this.known = stretch?.version ?? 0;
    return stretch?.entries;
  }

  /** Hears others from now on, and tells them who is here. */
  begin(ear: Ear): void {
    this.ear = ear;
    this.open.add(this);
    this.unlisten = this.world.fanout.listen(this.board, (bytes) => this.hear(bytes));
    this.say({ kind: 'who' });
    this.refreshSoon();
  }

  end(): void {
    this.unlisten?.();
    this.unlisten = undefined;
    this.open.delete(this);
  }

  /** @throws StoreError if the database has not answered for a while */
  append(
    board: BoardId,
    entries: readonly LoggedUpdate[],
    gone: readonly DocumentName[] = [],
  ): Promise<void> {
    const patience = this.world.patienceMs;
    return this.inTurn(async () => {
      let batch = { entries, gone };
      for (;;) {
        batch = this.withWaiting(batch);
        const before = this.known;
        const next = () => this.world.store.appendNext(board, before, batch.entries, batch.gone);
        const version = await this.patiently(next, patience);
        if (version !== undefined) {
          this.note(before, version, batch.entries);
          return;
        }
        await this.catchUp(patience);
      }
    });
  }

  /**
   * Replaces logs by snapshots, if they hold everything that is there.
   * @returns false if others have written meanwhile; that is known now
   */
  compact(board: BoardId, snapshots: readonly LoggedUpdate[]): Promise<boolean> {
    // The snapshots are of this moment; what is heard before their turn comes is not in them.
    const before = this.known;
    return this.inTurn(async () => {
      const version = await this.world.store.compactNext(board, before, snapshots);
      if (version === undefined) await this.catchUp();
      else {
        this.known = version;
        // Others have all that is in the snapshots, if they have everything before them.
        this.say({ kind: 'kept', before, version, entries: [] });
      }
      return version !== undefined;
    });
  }

  /** Reads what others have written up to now. @throws NoSuchBoard if it was deleted @throws StoreError if the database does not answer */
  refresh(): Promise<void> {
    return this.inTurn(() => this.catchUp());
  }

  /** The same for nobody who waits; the next round asks again if it fails. */
  refreshSoon(): void {
    this.refresh().catch((error: unknown) =>
      this.world.report(`What others wrote on board ${this.board} could not be read.`, error),
    );
  }

  sayPresence(bytes: Uint8Array | undefined = this.ear?.presenceHere()): void {
    if (bytes) this.say({ kind: 'presence', bytes });
  }

  tellLate(isLate: boolean): void {
    this.ear?.tellLate(isLate);
  }

  askPresence(): void {
    this.ear?.askPresence();
  }

  askWho(): void {
    this.say({ kind: 'who' });
  }

  forgetNode(node: string): void {
    this.ear?.forgetServer(node);
  }

  private hear(bytes: Uint8Array): void {
    const message = readMessage(bytes);
    if (!message || message.node === this.world.node) return;
    if (message.kind === 'presence') this.ear?.hearPresence(message.node, message.bytes);
    if (message.kind === 'who') this.sayPresence();
    if (message.kind !== 'kept') return;
    const { before, version, entries } = message;
    this.inTurn(async () => {
      if (version <= this.known || !this.ear) return;
      if (before === this.known && entries) {
        this.ear.merge(entries);
        this.known = version;
      } else await this.catchUp();
    }).catch((error: unknown) =>
      this.world.report(`What others wrote on board ${this.board} could not be read.`, error),
    );
  }

  private async catchUp(patience: Ms = 0): Promise<void> {
    const { store } = this.world;
    const stretch = await this.patiently(() => store.since(this.board, this.known), patience);
    if (!stretch) {
      this.ear?.boardIsGone();
      throw new NoSuchBoard(`board ${this.board} is not there any more`);
    }
    if (stretch.version <= this.known) return;
    this.ear?.merge(stretch.entries);
    this.known = stretch.version;
  }

  /** A batch with all that waits behind it, so that what answers others is written together with what it answers for. */
  private withWaiting(batch: Waiting): Waiting {
    const waiting = this.ear?.takeWaiting() ?? { entries: [], gone: [] };
    const entries = [...batch.entries, ...waiting.entries];
    return {
      entries: entries.filter((entry) => !this.isGone(entry)),
      gone: [...batch.gone, ...waiting.gone],
    };
  }

  private note(before: number, version: number, entries: readonly LoggedUpdate[]): void {
    this.known = version;
    this.ear?.kept(entries);
    const size = entries.reduce((sum, { update }) => sum + update.length, 0);
    this.say({
      kind: 'kept',
      before,
      version,
      entries: size > MAX_SAID ? undefined : entries,
    });
  }

  private isGone({ document }: LoggedUpdate): boolean {
    const parsed = parseDocumentName(document);
    return parsed !== undefined && 'owner' in parsed && (this.ear?.isGone(parsed.owner) ?? false);
  }

  private say(message: Unsigned): void {
    const { fanout, node } = this.world;
    fanout.say(this.board, writeMessage({ ...message, node }));
  }

  private inTurn<T>(work: () => Promise<T>): Promise<T> {
    const turn = this.last.then(work, work);
    this.last = turn;
    return turn;
  }

  /** Tries again while the database is away. A write whose answer was lost is found by its version, and writing it twice does no harm. */
  private async patiently<T>(ask: () => Promise<T>, patience: Ms): Promise<T> {
    const end = performance.now() + patience;
    for (;;) {
      try {
        return await ask();
      } catch (error) {
        if (!(error instanceof StoreError) || performance.now() > end) throw error;
        await new Promise((turn) => setTimeout(turn, PAUSE));
      }
    }
  }
}

type Unsigned = NodeMessage extends infer Message
  ? Message extends NodeMessage
    ? Omit<Message, 'node'>
    : never
  : never;
