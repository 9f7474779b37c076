import { WebSocket } from 'ws';
import * as Y from 'yjs';
import type { BoardId } from '../../lib/units';
import { DocumentFamily } from '../../shared/board/documents';
import type { DocumentName } from '../../shared/board/roles';
import { HOUSE_DOCUMENT, LEAD_DOCUMENT, parseDocumentName } from '../../shared/board/roles';
import { parseDown, readFrame, syncFrame } from '../../shared/wire/frame';
import { SYNC } from '../../shared/wire/kind';
import type { Refusal } from '../../shared/wire/refusal';
import type { Visitor } from './server';

/**
 * Somebody who goes from server to server and takes along all that they have seen and written, as a page does. What they write while they are
 * nowhere comes when they are somewhere again, since the server asks.
 */
export class Roamer {
  readonly family = new DocumentFamily();
  readonly refusals: Refusal[] = [];
  /** What the server last said of how it keeps what is written. */
  late = false;
  private socket: WebSocket | undefined;
  private port = 0;

  constructor(
    readonly board: BoardId,
    readonly visitor: Visitor,
  ) {}

  get isOn(): boolean {
    return this.socket?.readyState === WebSocket.OPEN;
  }

  isAt(port: number): boolean {
    return this.isOn && this.port === port;
  }

  /** Leaves where they were and goes to a server; false if it did not let them in. */
  async goTo(port: number, host = '127.0.0.1'): Promise<boolean> {
    this.drop();
    const headers = { cookie: this.visitor.cookie };
    const socket = new WebSocket(`ws://${host}:${port}/sync/${this.board}`, { headers });
    this.socket = socket;
    this.port = port;
    socket.on('message', (data: Buffer) => {
      if (this.socket === socket) this.take(socket, new Uint8Array(data));
    });
    const isIn = await new Promise<boolean>((done) => {
      socket.once('open', () => done(true));
      socket.on('error', () => done(false));
    });
    if (isIn) socket.send(this.question(LEAD_DOCUMENT));
    return isIn;
  }

  /** Waits until the server has dealt with all that was sent on this line, and kept it; false if the line ends before. */
  settled(): Promise<boolean> {
    const { socket } = this;
    if (!socket || !this.isOn) return Promise.resolve(false);
    return new Promise((done) => {
      const end = (isSettled: boolean) => {
        socket.off('message', look);
        socket.off('close', lost);
        done(isSettled);
      };
      const lost = () => end(false);
      const look = (data: Buffer) => {
        const frame = readFrame(new Uint8Array(data));
        const isAnswer = frame.kind === 'sync' && frame.document === HOUSE_DOCUMENT;
        if (isAnswer && frame.step === SYNC.step2) end(true);
      };
      socket.on('message', look);
      socket.on('close', lost);
      socket.send(this.question(HOUSE_DOCUMENT));
    });
  }

  /** Cuts the line at once. */
  drop(): void {
    this.socket?.terminate();
    this.socket = undefined;
    this.late = false;
  }

  /** Changes one's own copy of a document, and sends the change if there is a line. */
  edit(name: DocumentName, change: (doc: Y.Doc) => void): void {
    const doc = this.family.open(name);
    const send = (update: Uint8Array) => {
      if (this.isOn) this.socket?.send(syncFrame(name, SYNC.update, update));
    };
    doc.on('update', send);
    change(doc);
    doc.off('update', send);
  }

  /** Clients of Yjs under which others wrote what is here. */
  seen(name: DocumentName): ReadonlyMap<number, number> {
    const doc = this.family.open(name);
    const all = Y.decodeStateVector(Y.encodeStateVector(doc));
    all.delete(doc.clientID);
    return all;
  }

  private question(name: DocumentName): Uint8Array {
    return syncFrame(name, SYNC.step1, Y.encodeStateVector(this.family.open(name)));
  }

  private take(socket: WebSocket, bytes: Uint8Array): void {
    const frame = readFrame(bytes);
    if (frame.kind === 'word') {
      const word = parseDown(frame.text);
      if (word?.kind === 'refused') this.refusals.push(word);
      if (word?.kind === 'keeping') this.late = word.late;
    }
    const name = frame.kind === 'sync' ? parseDocumentName(frame.document)?.name : undefined;
    if (frame.kind !== 'sync' || name === undefined) return;
    const doc = this.family.open(name);
    if (frame.step !== SYNC.step1) Y.applyUpdate(doc, frame.bytes, this);
    else socket.send(syncFrame(name, SYNC.step2, Y.encodeStateAsUpdate(doc, frame.bytes)));
  }
}
