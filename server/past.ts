import type { Result } from '../lib/result';
import { fail, ok } from '../lib/result';
import type { BoardId } from '../lib/units';
import type { Board } from '../shared/board/schema';
import type { Report } from './failure';
import type { PastProblem, Visitor } from './host';
import type { Room } from './rooms/room';
import type { PointNote, Store } from './store/store';
import { StoreError } from './store/store';

const WORDS: Readonly<Record<PastProblem['code'], string>> = {
  'leaders-only': 'Only somebody with the lead link can look at how the board was.',
  'no-such-point': 'That moment is not kept any more. Choose another one from the list.',
  'not-kept':
    'The board was not changed: how it is now could not be kept on disk first. Try again in a moment.',
};

function refuse(code: PastProblem['code']): Result<never, PastProblem> {
  return fail({ code, where: {}, words: WORDS[code] });
}

/** Numbers of points, as far as any store counts. */
function isNumber(number: number): boolean {
  return Number.isInteger(number) && number > 0 && number < 2 ** 31;
}

export interface PastWorld {
  readonly store: Store;
  readonly report: Report;
  /** Who leads this board and is still on it; undefined for anybody else. */
  readonly leaderOf: (
    board: BoardId,
    cookieHeader: string | undefined,
  ) => Promise<Visitor | undefined>;
  readonly inRoom: <T>(
    board: BoardId,
    ask: (room: Room) => T | Promise<T>,
  ) => Promise<T | undefined>;
}

/** The way to how boards were, for their leaders only. */
export class PastDesk {
  constructor(private readonly world: PastWorld) {}

  async list(
    board: BoardId,
    cookieHeader: string | undefined,
  ): Promise<Result<readonly PointNote[], PastProblem>> {
    if (!(await this.world.leaderOf(board, cookieHeader))) return refuse('leaders-only');
    return ok((await this.world.store.listPoints(board)).toReversed());
  }

  async read(
    board: BoardId,
    number: number,
    cookieHeader: string | undefined,
  ): Promise<Result<{ readonly note: PointNote; readonly board: Board }, PastProblem>> {
    const leader = await this.world.leaderOf(board, cookieHeader);
    if (!leader) return refuse('leaders-only');
    if (!isNumber(number)) return refuse('no-such-point');
    const note = (await this.world.store.listPoints(board)).find((one) => one.number === number);
    const ask = (room: Room) => room.readPoint(number, leader.participant);
    const value = note && (await this.world.inRoom(board, ask));
    return note && value ? ok({ note, board: value }) : refuse('no-such-point');
  }

  async returnTo(
    board: BoardId,
    number: number,
    cookieHeader: string | undefined,
  ): Promise<Result<undefined, PastProblem>> {
    if (!(await this.world.leaderOf(board, cookieHeader))) return refuse('leaders-only');
    if (!isNumber(number)) return refuse('no-such-point');
    try {
      const done = await this.world.inRoom(board, (room) => room.returnTo(number));
      return done ? ok(undefined) : refuse('no-such-point');
    } catch (error) {
      if (!(error instanceof StoreError)) throw error;
      this.world.report(`Board ${board} could not be returned to how it was.`, error);
      return refuse('not-kept');
    }
  }
}
