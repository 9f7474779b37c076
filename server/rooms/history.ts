import { createHash } from 'node:crypto';
import { equalityDeep } from 'lib0/function';
import type { BoardId, Ms, ParticipantId } from '../../lib/units';
import { planIn, rawPlanIn } from '../../shared/board/kept';
import { votingIn } from '../../shared/board/leading';
import type { PointReason } from '../../shared/board/past';
import { readBoard } from '../../shared/board/read';
import type { DocumentName } from '../../shared/board/roles';
import { LEAD_DOCUMENT } from '../../shared/board/roles';
import type { Board } from '../../shared/board/schema';
import type { Report } from '../failure';
import { POINT_EVERY } from '../limits';
import type { Store } from '../store/store';
import { StoreError } from '../store/store';
import type { LiveDocuments } from './documents';
import { pointsToDrop } from './thinning';

export interface HistoryWorld {
  readonly store: Store;
  readonly now: () => Ms;
  readonly report: Report;
  /** Told of a fault of ours. */
  readonly onFault: (error: unknown) => void;
}

/** How often the present is kept anew before a return, while leaders go on deciding. */
const RETURN_TRIES = 5;
const NO_PLAN = '-';

/** What tells one agreement from another. */
interface Mark {
  readonly voting: string;
  /** Fingerprint of the published plan, or `NO_PLAN`. */
  readonly plan: string;
}

function textOf({ voting, plan }: Mark): string {
  return `${voting} ${plan}`;
}

function markFrom(text: string): Mark {
  const [voting = 'open', plan = NO_PLAN] = text.split(' ');
  return { voting, plan };
}

/** Why the step from one to the other is worth keeping; undefined if it is not. */
function reasonFor(before: Mark, after: Mark): PointReason | undefined {
  const isAgreedNow = before.voting !== 'agreed' && after.voting === 'agreed';
  if (isAgreedNow || (after.plan !== NO_PLAN && before.plan !== after.plan)) return 'agreed';
  return before.voting === 'open' && after.voting === 'closed' ? 'closed' : undefined;
}

/**
 * A board's kept points: keeps the board as it is when passes are agreed, when voting closes, and every so often while it is worked on.
 * What could not be kept is told and tried again with the next change. A server that died between an agreement and its point keeps the
 * point when it loads the board again.
 */
export class History {
  private readonly prints = new WeakMap<object, string>();
  private mark: Mark;
  /** Why the board is to be kept as it is. */
  private due: PointReason | undefined;
  private isBegun = false;
  /** Was anything kept on disk since the room was loaded? */
  private hasChanged = false;
  private latestMs: Ms | undefined;
  private work: Promise<unknown> = Promise.resolve();

  constructor(
    private readonly board: BoardId,
    private readonly world: HistoryWorld,
    private readonly documents: LiveDocuments,
  ) {
    this.mark = this.markNow();
  }

  /** Learns what was kept last, and keeps what has been agreed since. */
  begin(): void {
    this.inTurn(async () => {
      const latest = (await this.world.store.listPoints(this.board)).at(-1);
      this.latestMs = latest?.atMs;
      this.isBegun = true;
      this.due ??= reasonFor(markFrom(latest?.mark ?? `open ${NO_PLAN}`), this.markNow());
      if (this.hasChanged) this.noteAge();
      await this.keepIfDue();
    });
  }

  /** Leaders have changed something here. */
  note(): void {
    const before = this.mark;
    this.mark = this.markNow();
    this.due = reasonFor(before, this.mark) ?? this.due;
  }

  /** What was changed is on disk. */
  follow(): void {
    this.hasChanged = true;
    if (!this.isBegun) return;
    this.noteAge();
    if (this.due) this.inTurn(() => this.keepIfDue());
  }

  private noteAge(): void {
    if (this.isOld) this.due ??= 'time';
  }

  /** Is the last point too old for a board that is worked on? */
  private get isOld(): boolean {
    return Math.abs(this.world.now() - (this.latestMs ?? 0)) >= POINT_EVERY;
  }

  /** Follows what leaders have changed on another server, which keeps it. */
  hear(): void {
    this.mark = this.markNow();
  }

  /** Keeps the board as it is now. @throws StoreError if it cannot be kept */
  async keep(why: PointReason): Promise<void> {
    const { store, now } = this.world;
    const mark = this.markNow();
    const atMs = now();
    // Snapshot and call in one turn: what is taken out from now on is taken out of this point, too.
    await store.keepPoint(this.board, {
      atMs,
      why,
      mark: textOf(mark),
      documents: this.documents.kept(),
    });
    this.latestMs = atMs;
    const drop = pointsToDrop(await store.listPoints(this.board), atMs);
    if (drop.length > 0) await store.dropPoints(this.board, drop);
  }

  /** The board as it was at a kept point, for one who looks; undefined if it is not there. */
  async read(number: number, viewer: ParticipantId): Promise<Board | undefined> {
    const entries = await this.world.store.readPoint(this.board, number);
    return entries && readBoard(this.board, this.documents.pointOf(entries), viewer);
  }

  /**
   * Returns what leaders have decided to how it was at a kept point, and keeps first how it is, so that this can be returned from.
   * @returns false if there is no such point
   * @throws StoreError if the point cannot be read or the present cannot be kept; then nothing has changed
   */
  async returnTo(number: number): Promise<boolean> {
    const { store, now } = this.world;
    const note = (await store.listPoints(this.board)).find((one) => one.number === number);
    const entries = note && (await store.readPoint(this.board, number));
    if (!note || !entries) return false;
    // Whatever is decided while the point is being written is to be in one, too.
    for (let tries = 0; tries < RETURN_TRIES; tries += 1) {
      const before = this.documents.stateVectorOf(LEAD_DOCUMENT);
      await this.keep('return');
      if (equalityDeep(before, this.documents.stateVectorOf(LEAD_DOCUMENT))) break;
    }
    this.documents.returnTo(entries, note.atMs, now());
    this.hear();
    return true;
  }

  /** Takes documents out of every point, where another server has taken somebody out. */
  forget(names: readonly DocumentName[]): void {
    this.inTurn(() => this.world.store.append(this.board, [], names));
  }

  /** When all that was begun is done. */
  async settled(): Promise<void> {
    await this.work;
  }

  private async keepIfDue(): Promise<void> {
    const { due } = this;
    if (!due) return;
    this.due = undefined;
    // One that was kept since has made it too young again.
    if (due === 'time' && !this.isOld) return;
    try {
      await this.keep(due);
    } catch (error) {
      this.due ??= due;
      throw error;
    }
  }

  private markNow(): Mark {
    const { lead } = this.documents;
    return { voting: votingIn(lead), plan: this.printOf(rawPlanIn(lead)) };
  }

  /** Each published plan is read and fingerprinted once. */
  private printOf(plan: unknown): string {
    if (typeof plan !== 'object' || plan === null) return NO_PLAN;
    const known = this.prints.get(plan);
    if (known !== undefined) return known;
    const read = planIn(this.documents.lead);
    const text = JSON.stringify(read);
    const print = read ? createHash('sha256').update(text).digest('hex').slice(0, 16) : NO_PLAN;
    this.prints.set(plan, print);
    return print;
  }

  private inTurn(work: () => Promise<unknown>): void {
    this.work = this.work.then(work).catch((error: unknown) => {
      if (error instanceof StoreError)
        this.world.report(`How board ${this.board} was could not be kept.`, error);
      else this.world.onFault(error);
    });
  }
}
