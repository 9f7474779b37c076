import type { Result } from '../lib/result';
import { fail, ok } from '../lib/result';
import type { BoardId, Ms } from '../lib/units';
import type { CreatedBoard } from '../shared/api/create-board';
import { joinPath } from '../shared/board/paths';
import type { Role } from '../shared/board/roles';
import { ROLES } from '../shared/board/roles';
import type { Report } from './failure';
import type { CreateProblem, DeleteAnswer } from './host';
import type { Imports } from './imports/desk';
import { BOARDS_AN_HOUR, HOUR } from './limits';
import { isBoardId, newBoardId, newSecret, secretHash } from './links';
import { refusalOf } from './operator';
import { Rate } from './rate';
import type { Rooms } from './rooms/rooms';
import type { Store } from './store/store';
import { StoreError } from './store/store';

export interface BoardDeskWorld {
  readonly store: Store;
  readonly rooms: Rooms;
  readonly imports: Imports;
  readonly now: () => Ms;
  readonly report: Report;
  /** Whoever shows this may delete a board; absent: nobody may. */
  readonly token: string | undefined;
  /** How many boards there are at the start. */
  readonly count: number;
}

const TOO_MANY_BOARDS: CreateProblem = {
  code: 'too-many-boards',
  where: {},
  words: `More than ${BOARDS_AN_HOUR} boards were made from here within an hour. Wait a while, or use one that you have.`,
};
const NOT_KEPT: CreateProblem = {
  code: 'not-kept',
  where: {},
  words:
    'The board could not be kept: the disk of the server takes nothing at the moment. Try again soon.',
};

const notDeleted = (status: number, words: string): DeleteAnswer => ({ ok: false, status, words });

/** Makes boards and deletes them, and knows how many there are. */
export class BoardDesk {
  private readonly making: Rate;
  private boards: number;

  constructor(private readonly world: BoardDeskWorld) {
    this.making = new Rate(BOARDS_AN_HOUR, HOUR, world.now);
    this.boards = world.count;
  }

  get count(): number {
    return this.boards;
  }

  /** `Host.createBoard` */
  async create(text: string, address?: string): Promise<Result<CreatedBoard, CreateProblem>> {
    if (address !== undefined && !this.making.take(address)) return fail(TOO_MANY_BOARDS);
    const id = newBoardId();
    const draft = await this.world.imports.read(id, text);
    if (!draft.ok) return draft;
    const secrets: Readonly<Record<Role, string>> = {
      lead: newSecret(),
      join: newSecret(),
      watch: newSecret(),
    };
    const links = ROLES.map((role) => ({ role, hash: secretHash(secrets[role]) ?? '' }));
    try {
      const { store, now } = this.world;
      await store.create({ id, createdMs: now(), links }, draft.value.entries);
    } catch (error) {
      if (!(error instanceof StoreError)) throw error;
      this.world.report('A new board could not be kept.', error);
      return fail(NOT_KEPT);
    }
    this.boards += 1;
    const path = (role: Role) => joinPath(secrets[role]);
    return ok({
      board: id,
      links: { lead: path('lead'), join: path('join'), watch: path('watch') },
      remarks: draft.value.remarks,
    });
  }

  /** `Host.deleteBoard`. Nobody is told before it is done: one that cannot be deleted goes on. */
  async delete(
    board: BoardId,
    authorization: string | undefined,
    address = '',
  ): Promise<DeleteAnswer> {
    const { store, report, token } = this.world;
    const refusal = refusalOf(token, authorization, 'to delete boards');
    if (refusal) return { ok: false, ...refusal };
    const unknown = notDeleted(404, 'There is no such board.');
    if (!isBoardId(board)) return unknown;
    try {
      if (!(await store.remove(board))) return unknown;
    } catch (error) {
      if (!(error instanceof StoreError)) throw error;
      report(`Board ${board}, which the operator wants deleted, could not be deleted.`, error);
      const words = 'The board could not be deleted: the disk takes nothing at the moment.';
      return notDeleted(503, `${words} It is as it was. Try again soon.`);
    }
    this.noteDeleted([board]);
    report(`Board ${board} was deleted by the operator, from ${address || 'an unknown address'}.`);
    return { ok: true };
  }

  /** These boards are no longer there: whoever has one open is told. */
  noteDeleted(boards: readonly BoardId[]): void {
    this.boards -= boards.length;
    this.world.rooms.endDeleted(boards);
  }
}
