import { onTestFinished } from 'vitest';
import { WebSocket } from 'ws';
import * as Y from 'yjs';
import type { BoardId } from '../../lib/units';
import { DocumentFamily } from '../../shared/board/documents';
import { followPath } from '../../shared/board/paths';
import type { PlayState } from '../../shared/board/play-state';
import { readBoard } from '../../shared/board/read';
import type { DocumentName } from '../../shared/board/roles';
import { HOUSE_DOCUMENT, LEAD_DOCUMENT, parseDocumentName } from '../../shared/board/roles';
import type { Board } from '../../shared/board/schema';
import type { Down } from '../../shared/wire/down';
import type { Frame } from '../../shared/wire/frame';
import { parseDown, readFrame, syncFrame, wordFrame } from '../../shared/wire/frame';
import { SYNC } from '../../shared/wire/kind';
import type { Refusal } from '../../shared/wire/refusal';
import type { TestBoard, TestServer, Visitor } from './server';

/** How a peer shows who it is. */
export type Pass = { readonly cookie: string } | { readonly key: string };

/** Longest that a test waits for a condition, ms. */
const PATIENCE = 10_000;

/** A socket with bare frames: what it has seen, and any bytes it likes to send. Closed after the test. */
export class Peer {
  readonly family = new DocumentFamily();
  readonly frames: Frame[] = [];
  closed: { readonly code: number; readonly reason: string } | undefined;
  private readonly watchers = new Set<() => void>();

  private constructor(
    readonly socket: WebSocket,
    readonly board: BoardId,
  ) {
    socket.on('message', (data: Buffer) => {
      this.see(readFrame(new Uint8Array(data)));
      this.tell();
    });
    socket.on('close', (code, reason) => {
      this.closed = { code, reason: reason.toString() };
      this.tell();
    });
    socket.on('error', () => this.tell());
  }

  /** Opens a socket; @throws Error with the HTTP status if it is refused */
  static async open(
    server: Pick<TestServer, 'port'>,
    board: Pick<TestBoard, 'id'>,
    pass: Pass | undefined,
    headers: Readonly<Record<string, string>> = {},
    path: string = `/sync/${board.id}`,
  ): Promise<Peer> {
    const address = new URL(path, `ws://127.0.0.1:${server.port}`);
    if (pass && 'key' in pass) address.searchParams.set('key', pass.key);
    const cookie = pass && 'cookie' in pass ? { cookie: pass.cookie } : {};
    const socket = new WebSocket(address, { headers: { ...headers, ...cookie } });
    const peer = new Peer(socket, board.id);
    const ended = () => socket.terminate();
    onTestFinished(ended);
    await new Promise<void>((done, failed) => {
      socket.once('open', done);
      socket.once('error', failed);
    });
    return peer;
  }

  /** Opens a socket and waits until it has all documents that there are. */
  static async joined(server: TestServer, board: TestBoard, visitor: Visitor): Promise<Peer> {
    const peer = await Peer.open(server, board, visitor);
    await peer.fetch(LEAD_DOCUMENT);
    return peer;
  }

  /** Opens a socket that only follows what is played, and waits until it has been told. */
  static async following(
    server: Pick<TestServer, 'port'>,
    board: Pick<TestBoard, 'id'>,
    pass: Pass,
  ): Promise<Peer> {
    const peer = await Peer.open(server, board, pass, {}, followPath(board.id));
    await peer.until(() => peer.plays.length > 0);
    return peer;
  }

  get words(): readonly Down[] {
    return this.frames.flatMap((frame) => {
      const word = frame.kind === 'word' ? parseDown(frame.text) : undefined;
      return word ? [word] : [];
    });
  }

  get refusals(): readonly Refusal[] {
    return this.words.flatMap((word) => (word.kind === 'refused' ? [word] : []));
  }

  /** What this peer was told of what is played, the latest last. */
  get plays(): readonly PlayState[] {
    return this.words.flatMap((word) => (word.kind === 'play' ? [word.state] : []));
  }

  /** The board as this peer sees it. */
  get sees(): Board | undefined {
    return readBoard(this.board, this.family);
  }

  send(bytes: Uint8Array): void {
    this.socket.send(bytes);
  }

  /** Changes one's own copy of a document and sends the change; whether one may is the server's question. */
  edit(name: DocumentName, change: (doc: Y.Doc) => void): void {
    const doc = this.family.open(name);
    const updates: Uint8Array[] = [];
    const collect = (update: Uint8Array) => updates.push(update);
    doc.on('update', collect);
    change(doc);
    doc.off('update', collect);
    for (const update of updates) this.send(syncFrame(name, SYNC.update, update));
  }

  /** Asks for a document and waits for the answer, which comes after everything that the server did before. */
  async fetch(name: DocumentName): Promise<void> {
    const answers = () =>
      this.frames.filter(
        (frame) => frame.kind === 'sync' && frame.document === name && frame.step === SYNC.step2,
      ).length;
    const before = answers();
    this.send(syncFrame(name, SYNC.step1, Y.encodeStateVector(this.family.open(name))));
    await this.until(() => answers() > before);
  }

  /** Waits until the server has dealt with all that was sent so far, and has kept it. */
  async settled(): Promise<void> {
    await this.fetch(HOUSE_DOCUMENT);
  }

  /** Asks the time and waits for the answer; unlike `settled` it does not wait for the disk. */
  async heard(): Promise<void> {
    const t1 = this.frames.length + 1;
    this.send(wordFrame({ kind: 'ask-time', t1 }));
    await this.until(() => this.words.some((word) => word.kind === 'time' && word.t1 === t1));
  }

  /** Waits for a condition; looks at every message. @throws Error after PATIENCE, or if the socket closes before */
  until(condition: () => boolean): Promise<void> {
    return new Promise((done, failed) => {
      const end = (finish: () => void) => {
        clearTimeout(timer);
        this.watchers.delete(look);
        finish();
      };
      const look = () => {
        if (condition()) end(done);
        else if (this.closed)
          end(() => failed(new Error(`closed: ${JSON.stringify(this.closed)}`)));
      };
      const timer = setTimeout(
        () => end(() => failed(new Error(`waited in vain for ${condition}`))),
        PATIENCE,
      );
      this.watchers.add(look);
      look();
    });
  }

  async leave(): Promise<void> {
    this.socket.close();
    await this.until(() => this.closed !== undefined);
  }

  private see(frame: Frame): void {
    this.frames.push(frame);
    if (frame.kind !== 'sync' || frame.step === SYNC.step1) return;
    const parsed = parseDocumentName(frame.document);
    if (parsed) Y.applyUpdate(this.family.open(parsed.name), frame.bytes, this);
  }

  private tell(): void {
    for (const look of this.watchers) look();
  }
}
