import * as decoding from 'lib0/decoding';
import * as encoding from 'lib0/encoding';
import { onTestFinished } from 'vitest';
import { WebSocket } from 'ws';
import { WebsocketProvider } from 'y-websocket';
import * as Y from 'yjs';
import { DocumentFamily } from '../../shared/board/documents';
import type { DocumentName } from '../../shared/board/roles';
import { parseDocumentName } from '../../shared/board/roles';
import type { Down } from '../../shared/wire/down';
import { parseDown, syncFrame } from '../../shared/wire/frame';
import { KIND, SYNC } from '../../shared/wire/kind';
import type { Refusal } from '../../shared/wire/refusal';
import type { TestBoard, Visitor } from './server';

type TimeAnswer = Extract<Down, { readonly kind: 'time' }>;

/** The real y-websocket provider with our two message kinds, as a page has it. Ended after the test. */
export class ProviderPeer {
  readonly family = new DocumentFamily();
  readonly refusals: Refusal[] = [];
  readonly provider: WebsocketProvider;
  /** Told what the server answers to a question for the time. */
  protected onTime: (answer: TimeAnswer) => void = () => undefined;
  private readonly watched = new WeakSet<Y.Doc>();

  constructor(
    port: number,
    board: TestBoard,
    readonly visitor: Visitor,
  ) {
    const { cookie } = visitor;
    class WithCookie extends WebSocket {
      constructor(address: string | URL) {
        super(address, { headers: { cookie } });
      }
    }
    this.provider = new WebsocketProvider(
      `ws://127.0.0.1:${port}/sync`,
      board.id,
      this.family.lead,
      {
        disableBc: true,
        connect: false,
        maxBackoffTime: 100,
        // ws is a WebSocket for all that the provider asks of it; the two type descriptions differ in events.
        WebSocketPolyfill: WithCookie as unknown as typeof globalThis.WebSocket,
      },
    );
    this.provider.messageHandlers[KIND.document] = (encoder, decoder) =>
      this.take(encoder, decoder);
    this.provider.messageHandlers[KIND.word] = (_encoder, decoder) => {
      const word = parseDown(decoding.readVarString(decoder));
      if (word?.kind === 'refused') this.refusals.push(word);
      if (word?.kind === 'time') this.onTime(word);
    };
    this.provider.connect();
    onTestFinished(() => this.provider.destroy());
  }

  /** A document of the board, whose changes made here are sent. */
  open(name: DocumentName): Y.Doc {
    const doc = this.family.open(name);
    if (name === 'lead' || this.watched.has(doc)) return doc;
    this.watched.add(doc);
    doc.on('update', (update: Uint8Array, origin: unknown) => {
      const { ws, wsconnected } = this.provider;
      if (origin !== this && ws && wsconnected)
        ws.send(syncFrame(name, SYNC.update, update).slice());
    });
    return doc;
  }

  private take(encoder: encoding.Encoder, decoder: decoding.Decoder): void {
    const parsed = parseDocumentName(decoding.readVarString(decoder));
    const step = decoding.readVarUint(decoder);
    const bytes = decoding.readVarUint8Array(decoder);
    if (!parsed) return;
    const doc = this.open(parsed.name);
    if (step === SYNC.step1) {
      const missing = Y.encodeStateAsUpdate(doc, bytes);
      encoding.writeUint8Array(encoder, syncFrame(parsed.name, SYNC.step2, missing));
    } else Y.applyUpdate(doc, bytes, this);
  }
}

/** Do two families hold the same, down to what was deleted? */
export function sameFamilies(a: DocumentFamily, b: DocumentFamily): boolean {
  const names = new Set([...a.names(), ...b.names()]);
  const empty = new Y.Doc();
  return [...names].every((name) =>
    Y.equalSnapshots(Y.snapshot(a.find(name) ?? empty), Y.snapshot(b.find(name) ?? empty)),
  );
}

/** Waits for something that nobody tells about. @throws Error after ten seconds */
export async function eventually(
  condition: () => boolean | Promise<boolean>,
  what: string,
): Promise<void> {
  const end = performance.now() + 10_000;
  while (!(await condition())) {
    if (performance.now() > end) throw new Error(`waited in vain until ${what}`);
    await new Promise((turn) => setTimeout(turn, 2));
  }
}
