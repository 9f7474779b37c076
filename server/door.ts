import type { Result } from '../lib/result';
import { fail, ok } from '../lib/result';
import type { BoardId, Ms, ParticipantId } from '../lib/units';
import type { CreatedBoard } from '../shared/api/create-board';
import type { ExportFile, ExportProblem, ExportWish } from '../shared/api/export-file';
import type { LinkCode } from '../shared/api/link-code';
import { joinPath } from '../shared/board/paths';
import type { Role } from '../shared/board/roles';
import { higherRole } from '../shared/board/roles';
import type { Board } from '../shared/board/schema';
import type { BackupDesk } from './backup';
import type { BoardDesk } from './board-desk';
import type { Codes } from './codes';
import type { Others } from './engines';
import { exportFile } from './exports';
import type { Report } from './failure';
import type {
  BackupAnswer,
  CodeProblem,
  CreateProblem,
  DeleteAnswer,
  Health,
  Host,
  OpenedLink,
  PdfAnswer,
  SheetAsked,
  Visitor,
  WavAnswer,
} from './host';
import { CODE_LIFE, MAX_CODE_TRIES, UNWELL_AFTER } from './limits';
import type { LinkCodeProblem } from './link-code';
import { linkCode } from './link-code';
import type { KeptSession } from './links';
import { isBoardId, newParticipantId, newSecret, secretHash, sessionCookie } from './links';
import type { Metrics } from './metrics';
import { PastDesk } from './past';
import type { PrintDesk } from './print';
import { Rate } from './rate';
import type { Room } from './rooms/room';
import type { Rooms } from './rooms/rooms';
import type { Store } from './store/store';
import { StoreError } from './store/store';
import type { Caller } from './visitors';
import { Visitors } from './visitors';
import { WavDesk } from './wav';

function codeProblem(code: 'unknown' | 'wait'): CodeProblem {
  const words =
    code === 'wait'
      ? 'Too many wrong codes came from your network. Wait ten minutes and take a new one.'
      : 'This code opens nothing. Codes work once and for ten minutes: take a new one in your first browser.';
  return { code, where: {}, words };
}

export interface DoorWorld {
  readonly codes: Codes;
  readonly store: Store;
  readonly rooms: Rooms;
  readonly now: () => Ms;
  /** Signs cookies. */
  readonly secret: string;
  /** Whether cookies are for https alone. */
  readonly secure: boolean;
  /** Where people reach us, if the operator has said so. */
  readonly publicUrl: URL | undefined;
  readonly countSockets: () => number;
  readonly boards: BoardDesk;
  readonly others?: Others;
  readonly metrics: Metrics;
  readonly backups: BackupDesk;
  readonly prints: PrintDesk;
  /** After how many days without use a board is deleted; undefined: never. */
  readonly idleDays: number | undefined;
  readonly report: Report;
}

/** The server's side of what pages may ask, and of who may open a socket. */
export class Door implements Host {
  private readonly startedMs: Ms;
  private readonly tracks = new WavDesk();
  private readonly trying: Rate;
  private readonly past: PastDesk;
  private readonly visitors: Visitors;

  constructor(private readonly world: DoorWorld) {
    this.startedMs = world.now();
    this.trying = new Rate(MAX_CODE_TRIES, CODE_LIFE, world.now);
    const { store, report } = world;
    this.visitors = new Visitors(world);
    this.past = new PastDesk({
      store,
      report,
      leaderOf: (board, cookie) => this.leaderOf(board, cookie),
      inRoom: (board, ask) => world.rooms.ask(board, ask),
    });
  }

  async readBoard(board: BoardId, viewer?: ParticipantId): Promise<Board | undefined> {
    if (!isBoardId(board)) return undefined;
    const read = (room: Room) => room.read(viewer);
    try {
      return await this.world.rooms.ask(board, read);
    } catch (error) {
      if (!(error instanceof StoreError)) throw error;
      // The room was ahead of the disk and is gone; the next one is loaded from the disk. If that fails too, the page must say so.
      return this.world.rooms.ask(board, read);
    }
  }

  createBoard(text: string, address?: string): Promise<Result<CreatedBoard, CreateProblem>> {
    return this.world.boards.create(text, address);
  }

  deleteBoard(
    board: BoardId,
    authorization: string | undefined,
    address?: string,
  ): Promise<DeleteAnswer> {
    return this.world.boards.delete(board, authorization, address);
  }

  async openLink(
    secret: string,
    cookieHeader: string | undefined,
  ): Promise<OpenedLink | undefined> {
    const link = await this.visitors.linkOf(secret);
    if (!link) return undefined;
    const { board } = link;
    const session = this.visitors.cookieOf(board, cookieHeader);
    const met = session && (await this.visitors.meet(board, cookieHeader, secret));
    if (met?.stay === 'sent-away') return undefined;
    const { participant, role } =
      met?.stay === 'here' && met.party
        ? met.party
        : { participant: newParticipantId(), role: link.role };
    // Never the mark of a link that was made new while all this was asked.
    const mark = role === link.role ? link.mark : session?.mark;
    return {
      board,
      participant,
      role,
      setCookie: this.cookieFor(board, { participant, role, mark }),
    };
  }

  visitorOf(board: BoardId, cookieHeader: string | undefined): Promise<Visitor | undefined> {
    return this.visitors.visitorOf(board, cookieHeader);
  }

  async whoIsGone(
    board: BoardId,
    cookieHeader: string | undefined,
  ): Promise<ParticipantId | undefined> {
    const { participant } = this.visitors.cookieOf(board, cookieHeader) ?? {};
    if (!participant) return undefined;
    const isGone = await this.world.rooms.ask(board, ({ people }) => people.isGone(participant));
    return isGone ? participant : undefined;
  }

  async mayRead(
    board: BoardId,
    cookieHeader: string | undefined,
    key: string | undefined,
  ): Promise<boolean> {
    if (key !== undefined && this.world.prints.opens(board, key)) return true;
    return this.visitors.mayRead(board, cookieHeader, key);
  }

  async openCode(
    board: BoardId,
    code: string,
    cookieHeader: string | undefined,
    address = '',
  ): Promise<Result<{ readonly setCookie: string }, CodeProblem>> {
    // Counted before anybody looks whether it is right, so that many at once are no more than the limit.
    if (!this.trying.take(address)) return fail(codeProblem('wait'));
    const session = this.visitors.cookieOf(board, cookieHeader);
    // Before it is asked whether they count: a link that is made new meanwhile ends what they get.
    const markBefore = session && (await this.visitors.markOf(board, session.role));
    const met = session && (await this.visitors.meet(board, cookieHeader));
    if (met?.stay === 'sent-away') return fail(codeProblem('unknown'));
    const before = met?.stay === 'here' ? met.party : undefined;
    const taken = isBoardId(board) ? await this.world.codes.take(board, code) : undefined;
    if (!taken) return fail(codeProblem('unknown'));
    this.trying.giveBack(address);
    const { participant } = taken;
    // Another server may have given it just before it learnt that they are gone, and the board may have been deleted.
    if ((await this.world.rooms.ask(board, (room) => room.people.isGone(participant))) !== false)
      return fail(codeProblem('unknown'));
    if (before && before.participant !== participant)
      await this.world.rooms.ask(board, (room) => room.people.forgetIfSilent(before.participant));
    const role = before ? higherRole(before.role, taken.role) : taken.role;
    const mark = role === taken.role ? await this.visitors.markOf(board, role) : markBefore;
    return ok({ setCookie: this.cookieFor(board, { participant, role, mark }) });
  }

  /** Makes a link new and says where it leads. @throws StoreError if that cannot be kept */
  async renewLink(board: BoardId, role: Role): Promise<string> {
    const secret = newSecret();
    await this.world.store.renewLink(board, { role, hash: secretHash(secret) ?? '' });
    return joinPath(secret);
  }

  async exportFile(
    board: BoardId,
    wish: ExportWish,
  ): Promise<Result<ExportFile, ExportProblem> | undefined> {
    const value = await this.readBoard(board);
    return value && exportFile(value, wish);
  }

  async printSheet(
    board: BoardId,
    query: URLSearchParams,
    { cookieHeader, link, gone }: SheetAsked,
  ): Promise<PdfAnswer | undefined> {
    if (!(await this.readBoard(board))) return undefined;
    const code = link === undefined ? undefined : await this.drawLink(board, link);
    if (code && !code.ok)
      return { ok: false, status: 400, words: code.problems.map(({ words }) => words).join(' ') };
    const printed = await this.world.prints.print({
      board,
      who: this.askerOf(board, query, cookieHeader),
      query,
      ...(code ? { code: code.value } : {}),
      ...(gone ? { gone } : {}),
    });
    // What is printed of a board that was deleted meanwhile is a page that says so.
    return (await this.readBoard(board)) && printed;
  }

  drawLink(board: BoardId, link: string): Promise<Result<LinkCode, LinkCodeProblem>> {
    return linkCode(board, link, this.world.publicUrl, (secret) => this.visitors.linkOf(secret));
  }

  codeOnSheet(board: BoardId, key: string): LinkCode | undefined {
    return this.world.prints.codeFor(board, key);
  }

  async exportWav(
    board: BoardId,
    query: URLSearchParams,
    cookieHeader: string | undefined,
  ): Promise<WavAnswer | undefined> {
    const value = await this.readBoard(board);
    return value && this.tracks.track(value, query, this.askerOf(board, query, cookieHeader));
  }

  listPast(board: BoardId, cookieHeader: string | undefined) {
    return this.past.list(board, cookieHeader);
  }

  readPast(board: BoardId, number: number, cookieHeader: string | undefined) {
    return this.past.read(board, number, cookieHeader);
  }

  returnToPast(board: BoardId, number: number, cookieHeader: string | undefined) {
    return this.past.returnTo(board, number, cookieHeader);
  }

  idleDays(): number | undefined {
    return this.world.idleDays;
  }

  metrics(): string {
    return this.world.metrics.text({ ...this.health(), others: this.world.others });
  }

  backup(authorization: string | undefined): Promise<BackupAnswer> {
    return this.world.backups.take(authorization);
  }

  health(): Health {
    return {
      ok: (this.world.others?.blindForMs ?? 0) < UNWELL_AFTER,
      uptimeSeconds: Math.floor((this.world.now() - this.startedMs) / 1000),
      rooms: this.world.rooms.size,
      sockets: this.world.countSockets(),
      boards: this.world.boards.count,
    };
  }

  now(): Ms {
    return this.world.now();
  }

  callerOf(
    board: BoardId,
    cookieHeader: string | undefined,
    key: string | undefined,
  ): Promise<Caller | undefined> {
    return this.visitors.callerOf(board, cookieHeader, key);
  }

  /** Whose share of what takes long a request has: its person's, or that of all who come by a link without a cookie. */
  private askerOf(
    board: BoardId,
    query: URLSearchParams,
    cookieHeader: string | undefined,
  ): string {
    const session = this.visitors.cookieOf(board, cookieHeader);
    return session?.participant ?? secretHash(query.get('key') ?? '') ?? '';
  }

  private async leaderOf(
    board: BoardId,
    cookieHeader: string | undefined,
  ): Promise<Visitor | undefined> {
    if (this.visitors.cookieOf(board, cookieHeader)?.role !== 'lead') return undefined;
    const met = await this.visitors.meet(board, cookieHeader);
    return met?.stay === 'here' && met.party?.role === 'lead' ? met.party : undefined;
  }

  private cookieFor(board: BoardId, session: KeptSession): string {
    const { secret, secure } = this.world;
    return sessionCookie(secret, board, session, secure);
  }
}
