import type { IncomingMessage } from 'node:http';
import type { Duplex } from 'node:stream';
import { WebSocketServer } from 'ws';
import type { BoardId, Ms } from '../lib/units';
import { PURPOSE, SYNC_PATH, TO_FOLLOW } from '../shared/board/paths';
import { wordFrame } from '../shared/wire/frame';
import type { Report } from './failure';
import { CLOSE, CLOSE_PATIENCE, HOUR, MAX_PAYLOAD } from './limits';
import { isBoardId } from './links';
import { addressOf, isSameOrigin } from './origin';
import { Rate } from './rate';
import { refuse } from './rooms/admission';
import { DELETED } from './rooms/company';
import type { Party, Purpose } from './rooms/connection';
import { Connection } from './rooms/connection';
import type { HeldRoom, Rooms } from './rooms/rooms';
import type { Caller } from './visitors';
import { partyFor } from './visitors';

/** Most sockets at once. */
export interface MostSockets {
  readonly aBoard: number;
  readonly anAddress: number;
  readonly anAddressOnABoard: number;
  /** Of leaders on one board, from one address beyond its limit. */
  readonly leadersBeyond: number;
  /** Of one person on one board. */
  readonly aPerson: number;
  /** New students from one address on one board in an hour. */
  readonly newcomersAnHour: number;
}

export interface SocketsWorld {
  readonly rooms: Rooms;
  readonly now: () => Ms;
  readonly report: Report;
  readonly pingEveryMs: Ms;
  readonly most: MostSockets;
  readonly publicUrl: URL | undefined;
  /** Proxies of ours in front. */
  readonly proxies: number;
  /** Who asks for this board, by cookie or by a link's secret; undefined for whoever cannot come in whatever its house says. */
  readonly callerOf: (
    board: BoardId,
    cookieHeader: string | undefined,
    key: string | undefined,
  ) => Promise<Caller | undefined>;
}

/** Somebody who may come into a room, if there is a place. */
interface Arrival {
  readonly address: string;
  readonly party: Party;
  readonly held: HeldRoom;
}

/** Why a socket was not opened: an HTTP status and a sentence. */
interface Closed {
  readonly status: string;
  readonly words: string;
}

function tooMany(words: string): Closed {
  return { status: '429 Too Many Requests', words };
}

const CLOSED = {
  foreign: { status: '403 Forbidden', words: 'This page belongs to another site.' },
  unknown: { status: '401 Unauthorized', words: 'Open one of the links of this board first.' },
  full: { status: '403 Forbidden', words: 'This board is full. Ask for a link to watch.' },
  address: tooMany('Too many pages are open from your network. Close some of them.'),
  person: tooMany('You have this board open too many times. Close some of its pages.'),
  board: tooMany('Too many people have this board open. Try again when some have left.'),
  newcomers: tooMany(
    'Many people have come to this board from your network, all new. Wait an hour, or come with a browser that was here.',
  ),
} as const satisfies Readonly<Record<string, Closed>>;

/** The way from an HTTP upgrade into a room. */
export class Sockets {
  private readonly server = new WebSocketServer({ noServer: true, maxPayload: MAX_PAYLOAD });
  private readonly open = new Set<Connection>();
  private readonly byBoard = new Map<string, number>();
  private readonly byAddress = new Map<string, number>();
  private readonly byPerson = new Map<string, number>();
  /** By board and address. */
  private readonly byPlace = new Map<string, number>();
  /** Of those, what was opened when the address had too many. */
  private readonly beyond = new Map<string, number>();
  private readonly newcomers: Rate;
  private readonly timer: NodeJS.Timeout;
  private isStopping = false;
  private whenEmpty: () => void = () => undefined;

  constructor(private readonly world: SocketsWorld) {
    this.newcomers = new Rate(world.most.newcomersAnHour, HOUR, world.now);
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
      const arrival = await this.judge(request);
      if (arrival === 'deleted') return this.tellDeleted(request, socket, head);
      if ('words' in arrival) return refuseUpgrade(socket, arrival);
      // From here to the open socket nobody else gets a turn, so what was counted holds.
      const refusal = this.refusalOf(arrival);
      if (!refusal && !socket.destroyed && !this.isStopping)
        return this.enter(request, socket, head, arrival);
      arrival.held.release();
      if (refusal) refuseUpgrade(socket, refusal);
      else socket.destroy();
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

  /** Who comes to which room. What costs least is asked first; a board is loaded for those alone who may see it. */
  private async judge(request: IncomingMessage): Promise<Closed | 'deleted' | Arrival> {
    const { most, callerOf, proxies, publicUrl, rooms } = this.world;
    const address = addressOf(request, proxies);
    if (!isSameOrigin(request, publicUrl)) return CLOSED.foreign;
    const board = pathOf(request).slice(SYNC_PATH.length + 1);
    if (!isBoardId(board)) return CLOSED.unknown;
    const isFull = this.isFull(address);
    // From where too much is open no secret is looked up: a cookie alone says who leads.
    const key = isFull ? undefined : (urlOf(request).searchParams.get('key') ?? undefined);
    const caller = await callerOf(board, request.headers.cookie, key);
    if (isFull && (caller?.role ?? caller?.claimed) !== 'lead') return CLOSED.address;
    if (!caller) return CLOSED.unknown;
    if (countOf(this.byPerson, caller.participant) >= most.aPerson) return CLOSED.person;
    const held = await rooms.hold(board);
    if (!held) return 'deleted';
    const party = partyFor(held.room.people, caller);
    if (party) return { address, party, held };
    held.release();
    return CLOSED.unknown;
  }

  /** A browser cannot read an HTTP refusal, and would try for ever to reach a board that was deleted while it slept. */
  private tellDeleted(request: IncomingMessage, socket: Duplex, head: Buffer): void {
    this.server.handleUpgrade(request, socket, head, (webSocket) => {
      webSocket.on('error', () => webSocket.terminate());
      webSocket.send(wordFrame(refuse('deleted')));
      webSocket.close(CLOSE.deleted, DELETED);
    });
  }

  /** Why there is no room for them. Leaders, and whoever is already in, come in also where strangers fill the board or its network. */
  private refusalOf({ address, party, held: { room } }: Arrival): Closed | undefined {
    const { most } = this.world;
    const { participant, returns, role } = party;
    const mine = countOf(this.byPerson, participant);
    const place = `${room.board} ${address}`;
    const there = countOf(this.byBoard, room.board);
    const isIn = room.people.isKnown(participant);
    // Only who led this board before, so that nobody makes themselves room with a new cookie or a link.
    const isLeader = role === 'lead' && returns && isIn;
    const mayGoBeyond = isLeader && countOf(this.beyond, place) < most.leadersBeyond;
    if (this.isFull(address) && !mayGoBeyond) return CLOSED.address;
    if (mine >= most.aPerson) return CLOSED.person;
    const isExpected = role === 'lead' || (isIn && mine === 0);
    if (there >= (isExpected ? 2 : 1) * most.aBoard) return CLOSED.board;
    if (!isExpected && countOf(this.byPlace, place) >= most.anAddressOnABoard)
      return CLOSED.address;
    if (!room.people.hasPlaceFor(party)) return CLOSED.full;
    const isNewStudent = role === 'join' && !isIn;
    return isNewStudent && !this.newcomers.take(place) ? CLOSED.newcomers : undefined;
  }

  private isFull(address: string): boolean {
    return countOf(this.byAddress, address) >= this.world.most.anAddress;
  }

  private enter(
    request: IncomingMessage,
    socket: Duplex,
    head: Buffer,
    { address, party, held: { room, release } }: Arrival,
  ): void {
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
      const place = `${room.board} ${address}`;
      const isBeyond = this.isFull(address);
      const count = (by: number) => {
        change(this.byBoard, room.board, by);
        change(this.byAddress, address, by);
        change(this.byPlace, place, by);
        if (isBeyond) change(this.beyond, place, by);
        change(this.byPerson, party.participant, by);
      };
      count(1);
      connection.listen(
        (message) => room.receive(connection, message),
        () => {
          room.leave(connection);
          this.open.delete(connection);
          count(-1);
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

function countOf(counts: ReadonlyMap<string, number>, key: string): number {
  return counts.get(key) ?? 0;
}

function change(counts: Map<string, number>, key: string, by: number): void {
  const count = countOf(counts, key) + by;
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

/** Answers an upgrade that is for nobody here: whoever asks for another protocol is told, not left with a line that breaks. */
export function declineUpgrade(socket: Duplex): void {
  socket.on('error', () => socket.destroy());
  const words = 'Nothing here takes another protocol. Ask without an Upgrade header.';
  refuseUpgrade(socket, { status: '400 Bad Request', words });
}

function refuseUpgrade(socket: Duplex, { status, words }: Closed): void {
  const body = `${words}\n`;
  const type = 'Content-Type: text/plain; charset=utf-8';
  const length = `Content-Length: ${Buffer.byteLength(body)}`;
  socket.end(`HTTP/1.1 ${status}\r\nConnection: close\r\n${type}\r\n${length}\r\n\r\n${body}`);
}
