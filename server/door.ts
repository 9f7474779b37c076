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
import {
  isBoardId,
  newParticipantId,
  newSecret,
  secretHash,
  sessionCookie,
  sessionFromCookie,
} from './links';
import type { Metrics } from './metrics';
import { PastDesk } from './past';
import type { PrintDesk } from './print';
import { Rate } from './rate';
import type { Party } from './rooms/connection';
import type { Room } from './rooms/room';
import type { Rooms } from './rooms/rooms';
import type { Store } from './store/store';
import { StoreError } from './store/store';
import { WavDesk } from './wav';

type Stay = 'here' | 'gone' | 'sent-away';

/** Is this person on the board (or was never off it), gone by their own wish, or sent away? */
function stayOf(room: Room, { participant }: Pick<Party, 'participant'>): Stay {
  if (room.people.isSentAway(participant)) return 'sent-away';
  return room.people.isGone(participant) ? 'gone' : 'here';
}

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

  constructor(private readonly world: DoorWorld) {
    this.startedMs = world.now();
    this.trying = new Rate(MAX_CODE_TRIES, CODE_LIFE, world.now);
    const { store, report } = world;
    this.past = new PastDesk({
      store,
      report,
      leaderOf: (board, cookie) => this.leaderOf(board, cookie),
      inRoom: (board, ask) => this.inRoom(board, ask),
    });
  }

  async readBoard(board: BoardId, viewer?: ParticipantId): Promise<Board | undefined> {
    if (!isBoardId(board)) return undefined;
    const read = (room: Room) => room.read(viewer);
    try {
      return await this.inRoom(board, read);
    } catch (error) {
      if (!(error instanceof StoreError)) throw error;
      // The room was ahead of the disk and is gone; the next one is loaded from the disk. If that fails too, the page must say so.
      return this.inRoom(board, read);
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
    const link = await this.linkOf(secret);
    if (!link) return undefined;
    const { board } = link;
    const before = await this.cameAs(board, cookieHeader);
    if (before === 'sent-away') return undefined;
    const participant = before?.participant ?? newParticipantId();
    const role = before ? higherRole(before.role, link.role) : link.role;
    const { secret: key, secure } = this.world;
    const setCookie = sessionCookie(key, board, { participant, role }, secure);
    return { board, participant, role, setCookie };
  }

  sessionOf(board: BoardId, cookieHeader: string | undefined): Visitor | undefined {
    if (!isBoardId(board)) return undefined;
    const { secret, secure } = this.world;
    return sessionFromCookie(secret, board, cookieHeader, secure);
  }

  async isGone(board: BoardId, cookieHeader: string | undefined): Promise<boolean> {
    const session = this.sessionOf(board, cookieHeader);
    if (!session) return false;
    return (await this.inRoom(board, (room) => room.people.isGone(session.participant))) ?? false;
  }

  async mayRead(
    board: BoardId,
    cookieHeader: string | undefined,
    key: string | undefined,
  ): Promise<boolean> {
    if (key !== undefined && this.world.prints.opens(board, key)) return true;
    const party = await this.partyOf(board, cookieHeader, key);
    if (!party) return false;
    const stay = await this.inRoom(board, (room) => stayOf(room, party));
    return stay === undefined || stay === 'here';
  }

  async openCode(
    board: BoardId,
    code: string,
    cookieHeader: string | undefined,
    address = '',
  ): Promise<Result<{ readonly setCookie: string }, CodeProblem>> {
    // Counted before anybody looks whether it is right, so that many at once are no more than the limit.
    if (!this.trying.take(address)) return fail(codeProblem('wait'));
    const before = await this.cameAs(board, cookieHeader);
    if (before === 'sent-away') return fail(codeProblem('unknown'));
    const taken = isBoardId(board) ? await this.world.codes.take(board, code) : undefined;
    if (!taken) return fail(codeProblem('unknown'));
    this.trying.giveBack(address);
    const { participant } = taken;
    // Another server may have given it just before it learnt that they are gone, and the board may have been deleted.
    if ((await this.inRoom(board, (room) => room.people.isGone(participant))) !== false)
      return fail(codeProblem('unknown'));
    if (before && before.participant !== participant)
      await this.inRoom(board, (room) => room.people.forgetIfSilent(before.participant));
    const role = before ? higherRole(before.role, taken.role) : taken.role;
    const { secret, secure } = this.world;
    return ok({ setCookie: sessionCookie(secret, board, { participant, role }, secure) });
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
    return linkCode(board, link, this.world.publicUrl, (secret) => this.linkOf(secret));
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

  /**
   * Who asks for a board. A cookie says who it is, and the secret of a link can raise the role; a secret alone makes somebody new,
   * for that one socket or request.
   */
  async partyOf(
    board: BoardId,
    cookieHeader: string | undefined,
    key: string | undefined,
  ): Promise<Party | undefined> {
    const session = this.sessionOf(board, cookieHeader);
    const link = key === undefined ? undefined : await this.linkOf(key);
    const role = link?.board === board ? link.role : undefined;
    if (session) {
      const higher = role ? higherRole(session.role, role) : session.role;
      return { participant: session.participant, role: higher, returns: true };
    }
    return role && { participant: newParticipantId(), role, returns: false };
  }

  /** Whose share of what takes long a request has: its person's, or that of all who come by a link without a cookie. */
  private askerOf(
    board: BoardId,
    query: URLSearchParams,
    cookieHeader: string | undefined,
  ): string {
    const session = this.sessionOf(board, cookieHeader);
    return session?.participant ?? secretHash(query.get('key') ?? '') ?? '';
  }

  /** Who a browser was up to now, whose role it keeps; nobody if that one is gone from the board by their own wish. */
  private async cameAs(
    board: BoardId,
    cookieHeader: string | undefined,
  ): Promise<Visitor | 'sent-away' | undefined> {
    const session = this.sessionOf(board, cookieHeader);
    const stay = session && (await this.inRoom(board, (room) => stayOf(room, session)));
    if (stay === 'sent-away') return stay;
    return stay === 'gone' ? undefined : session;
  }

  private async leaderOf(
    board: BoardId,
    cookieHeader: string | undefined,
  ): Promise<Visitor | undefined> {
    const session = this.sessionOf(board, cookieHeader);
    if (session?.role !== 'lead') return undefined;
    const stay = await this.inRoom(board, (room) => stayOf(room, session));
    return stay === 'here' ? session : undefined;
  }

  /** What a board's room says to a question; undefined if there is no such board. */
  private async inRoom<T>(
    board: BoardId,
    ask: (room: Room) => T | Promise<T>,
  ): Promise<T | undefined> {
    const held = await this.world.rooms.hold(board);
    if (!held) return undefined;
    try {
      return await ask(held.room);
    } finally {
      held.release();
    }
  }

  private async linkOf(secret: string) {
    const hash = secretHash(secret);
    return hash === undefined ? undefined : this.world.store.findLink(hash);
  }
}
