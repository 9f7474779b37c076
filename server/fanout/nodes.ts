import { randomBytes } from 'node:crypto';
import type { BoardId, Ms } from '../../lib/units';
import type { Report } from '../failure';
import { LATE_AFTER } from '../limits';
import type { SharedStore } from '../store/shared';
import type { Fanout } from './fanout';
import { readMessage, writeMessage } from './message';
import { SharedLog } from './shared-log';

/** What every node hears, of whatever board. */
const EVERYBODY = 'nodes';
/** How often a node says that it is there, and looks into the database for what it was not told. */
const ROUND: Ms = 1000;
/** After this long without a word the people of a node count as gone. */
const SILENCE: Ms = 6000;
/** How long a change waits for a database that is away: a restart takes some seconds. */
const PATIENCE: Ms = 20_000;

export interface NodesWorld {
  readonly store: SharedStore;
  readonly fanout: Fanout;
  readonly report: Report;
  readonly roundMs?: Ms;
  readonly silenceMs?: Ms;
  readonly patienceMs?: Ms;
}

/** This node among the others: the boards that are open here, and who else is there. */
export class Nodes {
  /** Says apart this node's words; new at every start. */
  readonly node = randomBytes(12).toString('base64url');
  private readonly logs = new Set<SharedLog>();
  /** When each other node was last heard, ms of our own. */
  private readonly others = new Map<string, Ms>();
  /** Nodes that were taken for gone without a goodbye, and may be back. */
  private readonly missing = new Set<string>();
  private readonly timer: NodeJS.Timeout;
  private readonly unlisten: () => void;
  private looking: Promise<void> | undefined;
  /** Since when the database has not answered, ms of our own. */
  private blindSince: Ms | undefined;
  private isReported = false;

  constructor(private readonly world: NodesWorld) {
    this.unlisten = world.fanout.listen(EVERYBODY, (bytes) => this.hear(bytes));
    world.fanout.onBack(() => {
      this.say('alive');
      for (const log of this.logs) {
        log.sayPresence();
        log.askWho();
        log.refreshSoon();
      }
    });
    this.timer = setInterval(() => this.round(), world.roundMs ?? ROUND);
    this.timer.unref();
    this.say('alive');
  }

  /** How long the database has not answered. */
  get blindForMs(): Ms {
    return this.blindSince === undefined ? 0 : performance.now() - this.blindSince;
  }

  /** How many other nodes are heard. */
  get heard(): number {
    return this.others.size;
  }

  /** The log of a board, for one room of this node. */
  open(board: BoardId): SharedLog {
    const { store, fanout, report, patienceMs = PATIENCE } = this.world;
    const world = { node: this.node, store, fanout, report, patienceMs };
    return new SharedLog(board, world, this.logs);
  }

  /** Says goodbye, after all rooms are closed. */
  async close(): Promise<void> {
    clearInterval(this.timer);
    this.say('bye');
    this.unlisten();
    await this.looking;
    await this.world.fanout.close();
  }

  private round(): void {
    this.say('alive');
    const long = performance.now() - (this.world.silenceMs ?? SILENCE);
    for (const [node, heardMs] of this.others)
      if (heardMs < long) {
        this.missing.add(node);
        this.forget(node);
      }
    this.looking ??= this.look().finally(() => {
      this.looking = undefined;
    });
  }

  /** Compares versions with the database: whatever was missed is read now, in one question for all boards. */
  private async look(): Promise<void> {
    const boards = new Set([...this.logs].map(({ board }) => board));
    const began = performance.now();
    const timer = setTimeout(() => this.goBlind(began), LATE_AFTER);
    try {
      const versions = await this.world.store.versions([...boards]);
      if (this.blindSince !== undefined) for (const log of this.logs) log.tellLate(false);
      this.blindSince = undefined;
      for (const log of this.logs) {
        // A board that is not there was deleted by another node; reading it tells so.
        const version = versions.get(log.board);
        if (version === undefined || version > log.version) log.refreshSoon();
      }
    } catch (error) {
      if (!this.isReported) this.world.report('The database does not answer.', error);
      this.isReported = true;
      this.goBlind(began);
      return;
    } finally {
      clearTimeout(timer);
    }
    this.isReported = false;
  }

  private goBlind(sinceMs: Ms): void {
    this.blindSince ??= sinceMs;
    if (performance.now() - this.blindSince < LATE_AFTER) return;
    for (const log of this.logs) log.tellLate(true);
  }

  private hear(bytes: Uint8Array): void {
    const message = readMessage(bytes);
    if (!message || message.node === this.node) return;
    if (message.kind === 'bye') {
      this.missing.delete(message.node);
      this.forget(message.node);
    }
    if (message.kind === 'missed' && message.whom === this.node)
      for (const log of this.logs) log.askPresence();
    if (message.kind !== 'alive') return;
    const isNew = !this.others.has(message.node);
    this.others.set(message.node, performance.now());
    // It may have taken our people for gone.
    if (isNew) for (const log of this.logs) log.sayPresence();
    // Our browsers take no state a second time: its people say themselves anew.
    if (!this.missing.delete(message.node)) return;
    const missed = { kind: 'missed', node: this.node, whom: message.node } as const;
    this.world.fanout.say(EVERYBODY, writeMessage(missed));
  }

  private forget(node: string): void {
    this.others.delete(node);
    for (const log of this.logs) log.forgetNode(node);
  }

  private say(kind: 'alive' | 'bye'): void {
    this.world.fanout.say(EVERYBODY, writeMessage({ kind, node: this.node }));
  }
}
