import type { Problem, Result } from '../lib/result';
import type { BoardId, Ms, ParticipantId } from '../lib/units';
import type { CreatedBoard } from '../shared/api/create-board';
import type { ExportFile, ExportProblem, ExportWish } from '../shared/api/export-file';
import type { LinkCode } from '../shared/api/link-code';
import type { SettingOffer } from '../shared/api/problem';
import type { Role } from '../shared/board/roles';
import type { Board } from '../shared/board/schema';
import type { LinkCodeProblem } from './link-code';
import type { PointNote } from './store/store';

/** Who a browser is on a board. */
export interface Visitor {
  readonly participant: ParticipantId;
  readonly role: Role;
}

/** A link that was opened: where it leads, as whom, and the cookie that keeps it. */
export interface OpenedLink extends Visitor {
  readonly board: BoardId;
  /** Value of a `Set-Cookie` header. */
  readonly setCookie: string;
}

/** `where` names a line and column of the ABC or MusicXML, a byte of the MIDI file, or the path of the value in the request; `{}` where the whole is meant. */
export type CreateProblem = Problem<
  string,
  {
    readonly line?: number;
    readonly column?: number;
    readonly element?: string;
    readonly byte?: number;
    readonly path?: string;
  }
> & {
  /** Settings in which the tune would lie on the neck, the easiest first. */
  readonly offers?: readonly SettingOffer[];
};

/** Why a code made nobody of a browser. */
export type CodeProblem = Problem<'unknown' | 'wait', Readonly<Record<string, never>>>;

/** Why the board cannot be looked at or returned to as it was. */
export type PastProblem = Problem<
  'leaders-only' | 'no-such-point' | 'not-kept',
  Readonly<Record<string, never>>
>;

/** A practice track as a WAV file in pieces, or why there is none, with the HTTP status that says so. */
export type WavAnswer =
  | { readonly ok: true; readonly body: ReadableStream<Uint8Array> }
  | {
      readonly ok: false;
      readonly status: number;
      readonly words: string;
      /** When it may be worth asking again. */
      readonly retryAfterSeconds?: number;
    };

/** A printed sheet, or why there is none. */
export type PdfAnswer =
  | { readonly ok: true; readonly bytes: Uint8Array }
  | {
      readonly ok: false;
      readonly status: number;
      readonly words: string;
      readonly retryAfterSeconds?: number;
    };

/** Who asks for a sheet, and how. */
export interface SheetAsked {
  readonly cookieHeader: string | undefined;
  /** A join or watch link, to stand on it as a code to scan. */
  readonly link?: string;
  /** Says when they have gone away. */
  readonly gone?: AbortSignal;
}

/** A copy of everything, taken while the server runs, or why there is none. */
export type BackupAnswer =
  | { readonly ok: true; readonly bytes: number; readonly body: ReadableStream<Uint8Array> }
  | { readonly ok: false; readonly status: number; readonly words: string };

/** That a board was deleted, or why not. */
export type DeleteAnswer =
  | { readonly ok: true }
  | { readonly ok: false; readonly status: number; readonly words: string };

export interface Health {
  /** False while the database has not answered for a while: people are better sent to another server. */
  readonly ok: boolean;
  readonly uptimeSeconds: number;
  readonly rooms: number;
  readonly sockets: number;
  readonly boards: number;
}

/**
 * What pages may ask of the server, in plain values. It stands on `globalThis` under `HOST_KEY` (shared/host-key.ts), since pages live
 * in another module graph of the same process.
 */
export interface Host {
  /**
   * The board as it is on disk and on the screen of this viewer; undefined if there is no such board or the viewer is gone from it. Any
   * string may be asked for. While ballots are secret, nobody's but the viewer's are in it.
   */
  readBoard(board: BoardId, viewer?: ParticipantId): Promise<Board | undefined>;
  /**
   * Makes this browser the person whose code it is: the value of a `Set-Cookie` header. A code opens once.
   * @param address who asks, to count how many of their codes are wrong
   */
  openCode(
    board: BoardId,
    code: string,
    cookieHeader: string | undefined,
    address?: string,
  ): Promise<Result<{ readonly setCookie: string }, CodeProblem>>;
  /**
   * Makes a board of a request's body (`shared/api/create-board`); one that fails leaves nothing behind. Besides what is wrong with the body,
   * the codes are `too-many-boards`, `not-kept`, and those of reading (`server/imports/desk`).
   * @param text    the body as it came, JSON
   * @param address who asks, to count how many boards they make; absent: not counted
   */
  createBoard(text: string, address?: string): Promise<Result<CreatedBoard, CreateProblem>>;
  /**
   * Exchanges a link's secret for a cookie. A browser that has one for that board stays who it is, in the higher of the two roles.
   * @param cookieHeader the request's `cookie` header as it came
   */
  openLink(secret: string, cookieHeader: string | undefined): Promise<OpenedLink | undefined>;
  /**
   * Who this browser is on a board; undefined without a genuine cookie for it, and with one that was made before the present link by somebody whom
   * the house does not know.
   */
  visitorOf(board: BoardId, cookieHeader: string | undefined): Promise<Visitor | undefined>;
  /** The person whom this browser's cookie names, if they were taken out of the board, by a leader or by themselves. Nobody is where there is no such board. */
  whoIsGone(board: BoardId, cookieHeader: string | undefined): Promise<ParticipantId | undefined>;
  /** May they read this board, by cookie or by a link's secret (`?key=`)? */
  mayRead(
    board: BoardId,
    cookieHeader: string | undefined,
    key: string | undefined,
  ): Promise<boolean>;
  /** The board as a file (`server/exports`): its music, or all of it as JSON; undefined if there is no such board. */
  exportFile(
    board: BoardId,
    wish: ExportWish,
  ): Promise<Result<ExportFile, ExportProblem> | undefined>;
  /** A practice track, as the query asks for it (`shared/api/export-wav`); undefined if there is no such board. Each person has one at a time. */
  exportWav(
    board: BoardId,
    query: URLSearchParams,
    cookieHeader: string | undefined,
  ): Promise<WavAnswer | undefined>;
  /**
   * A sheet as PDF, as the query asks for it; undefined if there is no such board. Each person has one at a time.
   */
  printSheet(
    board: BoardId,
    query: URLSearchParams,
    asked: SheetAsked,
  ): Promise<PdfAnswer | undefined>;
  /** A join or watch link of the board as a code to scan, for whoever has the link itself. */
  drawLink(board: BoardId, link: string): Promise<Result<LinkCode, LinkCodeProblem>>;
  /** The code that is to stand on the sheet that is being printed, for the browser that prints it. */
  codeOnSheet(board: BoardId, key: string): LinkCode | undefined;
  /** How the board was, as far as it was kept, the latest first. For leaders. */
  listPast(
    board: BoardId,
    cookieHeader: string | undefined,
  ): Promise<Result<readonly PointNote[], PastProblem>>;
  /** The board as it was at a kept point. For leaders. */
  readPast(
    board: BoardId,
    number: number,
    cookieHeader: string | undefined,
  ): Promise<Result<{ readonly note: PointNote; readonly board: Board }, PastProblem>>;
  /** Returns what leaders have decided to how it was, and keeps how it is. For leaders. */
  returnToPast(
    board: BoardId,
    number: number,
    cookieHeader: string | undefined,
  ): Promise<Result<undefined, PastProblem>>;
  /** After how many days in which nobody opens it a board is deleted; undefined: never. */
  idleDays(): number | undefined;
  health(): Health;
  /** What the server counts about itself, in the Prometheus text format. */
  metrics(): string;
  /** A copy of the whole database for whoever shows the operator's token in an `Authorization` header. */
  backup(authorization: string | undefined): Promise<BackupAnswer>;
  /**
   * Deletes a board with everything on it for whoever shows the operator's token; whoever has it open is told.
   * @param address who asks, for the log
   */
  deleteBoard(
    board: BoardId,
    authorization: string | undefined,
    address?: string,
  ): Promise<DeleteAnswer>;
  /** Server time, ms since the Unix epoch; never goes back. */
  now(): Ms;
}
