import type { BoardId } from '../../lib/units';
import type { KeptLink, LoggedUpdate, NewBoard, NewPoint, Store } from '../../server/store/store';
import { StoreError } from '../../server/store/store';
import type { DocumentName, Role } from '../../shared/board/roles';

/** What a store is asked for, and the answer to an append that was done. */
export type Asked = 'create' | 'append' | 'answer' | 'load' | 'compact' | 'point';

/** A real store whose appends wait until they are let go, or fail, as the test says. */
export class SlowStore implements Store {
  /** How many appends are waiting. */
  waiting = 0;
  private gate: Promise<void> | undefined;
  private openGate: (() => void) | undefined;
  private failing = false;
  private fails: (what: Asked) => boolean = () => false;

  constructor(private readonly real: Store) {}

  /** From now on appends wait. */
  hold(): void {
    this.gate = new Promise((open) => {
      this.openGate = open;
    });
  }

  release(): void {
    this.openGate?.();
    this.gate = undefined;
  }

  /** From now on appends fail as they do on a full disk, until told otherwise. */
  fail(failing: boolean): void {
    this.failing = failing;
  }

  /** From now on these fail, at the test's will; an append may do so after it was done, as a machine that lost its disk cannot tell. */
  failWhen(fails: (what: Asked) => boolean): void {
    this.fails = fails;
  }

  async create(board: NewBoard, entries: readonly LoggedUpdate[]) {
    this.mayFail('create');
    return this.real.create(board, entries);
  }

  async append(
    board: BoardId,
    entries: readonly LoggedUpdate[],
    gone?: readonly DocumentName[],
  ): Promise<void> {
    if (this.gate !== undefined) {
      this.waiting += 1;
      await this.gate;
      this.waiting -= 1;
    }
    if (this.failing) throw new StoreError('the disk is full (says the test)');
    this.mayFail('append');
    await this.real.append(board, entries, gone);
    this.mayFail('answer');
  }

  async load(board: BoardId) {
    this.mayFail('load');
    return this.real.load(board);
  }

  async compact(board: BoardId, snapshots: readonly LoggedUpdate[], wipes?: boolean) {
    this.mayFail('compact');
    return this.real.compact(board, snapshots, wipes);
  }

  async keepPoint(board: BoardId, point: NewPoint) {
    this.mayFail('point');
    return this.real.keepPoint(board, point);
  }

  listPoints(board: BoardId) {
    return this.real.listPoints(board);
  }

  readPoint(board: BoardId, number: number) {
    return this.real.readPoint(board, number);
  }

  dropPoints(board: BoardId, numbers: readonly number[]) {
    return this.real.dropPoints(board, numbers);
  }

  noteTime(atMs: number, mostMs: number) {
    return this.real.noteTime(atMs, mostMs);
  }

  touch(boards: readonly BoardId[], atMs: number) {
    return this.real.touch(boards, atMs);
  }

  removeIdle(beforeMs: number, nowMs: number) {
    return this.real.removeIdle(beforeMs, nowMs);
  }

  remove(board: BoardId) {
    return this.real.remove(board);
  }

  findLink(hash: string) {
    return this.real.findLink(hash);
  }

  presentLink(board: BoardId, role: Role) {
    return this.real.presentLink(board, role);
  }

  renewLink(board: BoardId, link: KeptLink) {
    return this.real.renewLink(board, link);
  }

  copyTo(path: string) {
    return this.real.copyTo(path);
  }

  countBoards() {
    return this.real.countBoards();
  }

  private mayFail(what: Asked): void {
    if (this.fails(what)) throw new StoreError(`input/output error at ${what} (says the test)`);
  }

  close() {
    this.release();
    return this.real.close();
  }
}
