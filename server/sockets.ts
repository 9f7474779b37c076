import type { IncomingMessage } from 'node:http';
import type { Duplex } from 'node:stream';
import { WebSocketServer } from 'ws';
import type { BoardId, Ms } from '../lib/units';
import { PURPOSE, SYNC_PATH, TO_FOLLOW } from '../shared/board/paths';
import type { Report } from './failure';
import { CLOSE, CLOSE_PATIENCE, MAX_PAYLOAD } from './limits';
import { isBoardId } from './links';
import { addressOf, isSameOrigin } from './origin';
import type { Party, Purpose } from './rooms/connection';
import { Connection } from './rooms/connection';
import type { HeldRoom, Rooms } from './rooms/rooms';

export interface SocketsWorld {
  readonly rooms: Rooms;
  readonly now: () => Ms;
  readonly report: Report;
  readonly pingEveryMs: Ms;
  /** Most sockets at once. */
  readonly most: {
    readonly aBoard: number;
    readonly anAddress: number;
    /** Of one person on one board. */
    readonly aPerson: number;
  };
  readonly publicUrl: URL | undefined;
  /** Proxies of ours in front. */
  readonly proxies: number;
  /** Who asks for this board, by cookie or by a link's secret. */
  readonly partyOf: (
    board: BoardId,
    cookieHeader: string | undefined,
    key: string | undefined,
  ) => Promise<Party | undefined>;
}

/** Why a socket was not opened: an HTTP status and a sentence. */
interface Closed {
  readonly status: string;
  readonly words: string;
}

/** The way from an HTTP upgrade into a room. */
export class Sockets {
  private readonly server = new WebSocketServer({ noServer: true, maxPayload: MAX_PAYLOAD });
  private readonly open = new Set<Connection>();
  private readonly byBoard = new Map<string, number>();
  private readonly byAddress = new Map<string, number>();
  private readonly byPerson = new Map<string, number>();
  private readonly timer: NodeJS.Timeout;
  private isStopping = false;
  private whenEmpty: () => void = () => undefined;

  constructor(private readonly world: SocketsWorld) {
    this.timer = setInterval(() => {
      for (const connection of this.open) connection.ping();
    }, world.pingEveryMs);
    this.timer.unref();
  }

  get count(): number {
    return this.open.size;
  }

  /** Is this an upgrade for us? */
  isOurs(request: IncomingMessage): boolean {
    return pathOf(request).startsWith(`${SYNC_PATH}/`);
  }

  /** Lets a socket into its board's room, or answers in HTTP why not. */
  async admit(request: IncomingMessage, socket: Duplex, head: Buffer): Promise<void> {
    // Whoever hangs up while we look is nobody to answer to; `destroyed` says so below.
    socket.on('error', () => socket.destroy());
    try {
      const admitted = await this.judge(request);
      if ('words' in admitted) refuseUpgrade(socket, admitted);
      else if (socket.destroyed || this.isStopping) {
        admitted.held.release();
        socket.destroy();
      } else this.enter(request, socket, head, admitted.party, admitted.held);
    } catch (error) {
      this.world.report('A board could not be opened for a socket.', error);
      const words = 'The board cannot be read at the moment. Try again soon.';
      refuseUpgrade(socket, { status: '503 Service Unavailable', words });
    }
  }

  /** Closes every socket, waits a moment for the other ends and cuts those that do not answer. Nothing is taken from now on. */
  async stop(): Promise<void> {
    this.isStopping = true;
    clearInterval(this.timer);
    for (const connection of this.open) connection.close(CLOSE.restart, 'the server restarts');
    if (this.open.size === 0) return;
    await new Promise<void>((done) => {
      const patience = setTimeout(() => {
        for (const connection of this.open) connection.cut();
      }, CLOSE_PATIENCE);
      this.whenEmpty = () => {
        clearTimeout(patience);
        done();
      };
    });
  }

  private async judge(
    request: IncomingMessage,
  ): Promise<Closed | { readonly party: Party; readonly held: HeldRoom }> {
    const address = addressOf(request, this.world.proxies);
    if (!isSameOrigin(request, this.world.publicUrl))
      return { status: '403 Forbidden', words: 'This page belongs to another site.' };
    const board = pathOf(request).slice(SYNC_PATH.length + 1);
    const key = urlOf(request).searchParams.get('key') ?? undefined;
    const party = isBoardId(board)
      ? await this.world.partyOf(board, request.headers.cookie, key)
      : undefined;
    if (!isBoardId(board) || !party)
      return { status: '401 Unauthorized', words: 'Open one of the links of this board first.' };
    if (this.isTooMany(board, address, party))
      return { status: '429 Too Many Requests', words: 'Too many pages are open here.' };
    const held = await this.world.rooms.hold(board);
    if (!held) return { status: '404 Not Found', words: 'There is no such board.' };
    if (held.room.hasPlaceFor(party)) return { party, held };
    held.release();
    return { status: '403 Forbidden', words: 'This board is full. Ask for a link to watch.' };
  }

  private isTooMany(board: BoardId, address: string, { participant }: Party): boolean {
    const { most } = this.world;
    return (
      (this.byBoard.get(board) ?? 0) >= most.aBoard ||
      (this.byAddress.get(address) ?? 0) >= most.anAddress ||
      (this.byPerson.get(participant) ?? 0) >= most.aPerson
    );
  }

  private enter(
    request: IncomingMessage,
    socket: Duplex,
    head: Buffer,
    party: Party,
    held: HeldRoom,
  ): void {
    const { room, release } = held;
    const address = addressOf(request, this.world.proxies);
    let entered = false;
    this.server.handleUpgrade(request, socket, head, (webSocket) => {
      entered = true;
      const connection = new Connection(
        webSocket,
        party,
        this.world.now,
        socket,
        purposeOf(request),
      );
      this.open.add(connection);
      change(this.byBoard, room.board, 1);
      change(this.byAddress, address, 1);
      change(this.byPerson, party.participant, 1);
      connection.listen(
        (message) => room.receive(connection, message),
        () => {
          room.leave(connection);
          this.open.delete(connection);
          change(this.byBoard, room.board, -1);
          change(this.byAddress, address, -1);
          change(this.byPerson, party.participant, -1);
          release();
          if (this.open.size === 0) this.whenEmpty();
        },
      );
      room.join(connection);
    });
    // ws answers a bad handshake by itself and then does not call back.
    if (!entered) release();
  }
}

function change(counts: Map<string, number>, key: string, by: number): void {
  const count = (counts.get(key) ?? 0) + by;
  if (count > 0) counts.set(key, count);
  else counts.delete(key);
}

function urlOf(request: IncomingMessage): URL {
  const url = request.url ?? '/';
  return URL.canParse(url, 'http://here') ? new URL(url, 'http://here') : new URL('http://here/');
}

function pathOf(request: IncomingMessage): string {
  return urlOf(request).pathname;
}

/** What nobody knows is the whole board: a newer page says in words what it misses. */
function purposeOf(request: IncomingMessage): Purpose {
  return urlOf(request).searchParams.get(PURPOSE) === TO_FOLLOW ? 'play' : 'board';
}

function refuseUpgrade(socket: Duplex, { status, words }: Closed): void {
  const body = `${words}\n`;
  const type = 'Content-Type: text/plain; charset=utf-8';
  const length = `Content-Length: ${Buffer.byteLength(body)}`;
  socket.end(`HTTP/1.1 ${status}\r\nConnection: close\r\n${type}\r\n${length}\r\n\r\n${body}`);
}
