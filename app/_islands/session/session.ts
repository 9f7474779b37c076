import * as decoding from 'lib0/decoding';
import * as encoding from 'lib0/encoding';
import { WebsocketProvider } from 'y-websocket';
import * as Y from 'yjs';
import type { ClockReading } from '../../../lib/clock';
import type { BoardId, MeasureId, Ms, ParticipantId } from '../../../lib/units';
import { DocumentFamily } from '../../../shared/board/documents';
import { goneFrom } from '../../../shared/board/leading';
import { SYNC_PATH } from '../../../shared/board/paths';
import { readBoard } from '../../../shared/board/read';
import type { DocumentName, Role } from '../../../shared/board/roles';
import {
  ballotOf,
  HOUSE_DOCUMENT,
  isParticipantId,
  LEAD_DOCUMENT,
  parseDocumentName,
  saidBy,
} from '../../../shared/board/roles';
import type { Board } from '../../../shared/board/schema';
import type { Down } from '../../../shared/wire/down';
import { parseDown, syncFrame, wordFrame } from '../../../shared/wire/frame';
import { KIND, SYNC } from '../../../shared/wire/kind';
import type { Presence } from '../../../shared/wire/presence';
import { parsePresence } from '../../../shared/wire/presence';
import type { Refusal } from '../../../shared/wire/refusal';
import type { Up } from '../../../shared/wire/up';
import { WIRE_VERSION } from '../../../shared/wire/version';
import type { Kept } from './keep';
import { keepOnThisBrowser } from './keep';
import { forgetOnThisBrowser } from './kept-here';
import type { LineState } from './line';
import { RENEWED, TRIES_UNSAID } from './line';
import { Pulse } from './pulse';
import { socketAddress } from './socket-address';

export interface Me {
  readonly participant: ParticipantId;
  readonly role: Role;
}

/** What a page sees of the board: plain values, a new object at every change. */
export interface SessionState extends LineState {
  readonly board: Board;
  /** False until the documents have come once; until then `board` is what the server rendered. */
  readonly live: boolean;
  /** Everybody who is here, oneself included, once each. */
  readonly here: readonly Presence[];
  /** Paths of links that I have made new here. */
  readonly newLinks: Partial<Readonly<Record<Role, string>>>;
  /** What makes a second browser me, until then (server ms). */
  readonly code?: { readonly code: string; readonly untilMs: Ms };
  /** Was the server's time known at least once? After a sleep it is a guess until the next answer. */
  readonly inTime: boolean;
}

/** A refusal after which what this browser holds of the document is not what the server holds. */
const FORGET: readonly Refusal['code'][] = ['voting-closed', 'too-large', 'unreadable'];

/** One browser's connection to a board: its documents, who is here, the server's time. */
export class Session {
  readonly documents = new DocumentFamily();
  private readonly provider: WebsocketProvider;
  private readonly listeners = new Set<() => void>();
  private readonly watched = new WeakSet<Y.Doc>();
  private readonly kept = new Map<DocumentName, Kept>();
  private readonly pulse: Pulse;
  private presence: Presence;
  private refreshing = false;
  /** How often a line was tried in vain before there was any. */
  private tries = 0;
  private current: SessionState;

  constructor(
    readonly board: BoardId,
    readonly me: Me,
    rendered: Board,
    renderedMs?: Ms,
  ) {
    this.presence = { participant: me.participant };
    this.pulse = new Pulse(
      (t1) => this.send(wordFrame({ kind: 'ask-time', t1 })),
      () => this.current.board.transport.kind === 'playing',
      () => this.change({ inTime: this.current.inTime || this.pulse.reading() !== undefined }),
      renderedMs,
    );
    const inTime = this.pulse.reading() !== undefined;
    this.current = {
      board: rendered,
      live: false,
      connection: 'connecting',
      here: [],
      inTime,
      late: false,
      gone: false,
      newLinks: {},
    };
    this.provider = new WebsocketProvider(socketAddress(SYNC_PATH), board, this.documents.lead, {
      connect: false,
      disableBc: true,
    });
    this.provider.messageHandlers[KIND.document] = (encoder, decoder) =>
      this.takeDocument(encoder, decoder);
    this.provider.messageHandlers[KIND.word] = (_encoder, decoder) =>
      this.takeWord(parseDown(decoding.readVarString(decoder)));
    // The server asks where others took us for gone, and they take the same state no second time: it is said anew.
    this.provider.messageHandlers[KIND.queryAwareness] = () =>
      this.provider.awareness.setLocalState(this.presence);
    this.provider.on('status', ({ status }) => this.takeStatus(status));
    this.provider.on('connection-close', () => this.takeClose());
    this.provider.on('sync', (synced) => synced && this.change({ live: true }));
    this.provider.awareness.on('change', () => this.refresh());
    this.provider.awareness.setLocalState(this.presence);
    this.watch(LEAD_DOCUMENT);
    this.watch(HOUSE_DOCUMENT);
    if (me.role !== 'watch') {
      for (const name of [saidBy(me.participant), ballotOf(me.participant)]) {
        this.kept.set(name, keepOnThisBrowser(board, name, this.watch(name)));
      }
    }
    this.provider.connect();
  }

  readonly subscribe = (listener: () => void): (() => void) => {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  };

  readonly state = (): SessionState => this.current;

  /** The server's time as well as it is known here; this browser's own before the first answer. */
  readonly now = (): Ms => this.pulse.now();

  /** How good that time is; undefined while it is not known. */
  readonly clock = (): ClockReading | undefined => this.pulse.reading();

  /** The document that holds what I say, or my ballot. @throws RangeError for somebody who only watches */
  mine(kind: 'said' | 'ballot'): Y.Doc {
    if (this.me.role === 'watch') throw new RangeError('a watcher writes nothing');
    const { participant } = this.me;
    return this.documents.open(kind === 'said' ? saidBy(participant) : ballotOf(participant));
  }

  get lead(): Y.Doc {
    return this.documents.lead;
  }

  /** Lets the others see which measure I look at. */
  lookAt(measure: MeasureId | undefined): void {
    const { participant } = this.me;
    this.presence = measure ? { participant, measure } : { participant };
    this.provider.awareness.setLocalState(this.presence);
  }

  /** Asks the server for what only it can do; what comes of it is seen in the state, or refused in words. */
  act(word: Up): void {
    this.send(wordFrame(word));
  }

  putNoticeAway(): void {
    const { notice: _, ...rest } = this.current;
    this.current = rest;
    this.tell();
  }

  destroy(): void {
    this.pulse.stop();
    for (const kept of this.kept.values()) kept.destroy();
    this.provider.destroy();
    this.listeners.clear();
  }

  private change(change: Partial<SessionState>): void {
    this.current = { ...this.current, ...change };
    this.refresh();
  }

  /** Reads the board again, once for all that changed in this turn. */
  private refresh(): void {
    if (this.refreshing) return;
    this.refreshing = true;
    queueMicrotask(() => {
      this.refreshing = false;
      this.letGo();
      const { participant } = this.me;
      const board = this.current.live
        ? readBoard(this.board, this.documents, participant)
        : undefined;
      const here = new Map<ParticipantId, Presence>();
      for (const state of this.provider.awareness.getStates().values()) {
        const presence = parsePresence(state);
        if (presence && !here.get(presence.participant)?.measure)
          here.set(presence.participant, presence);
      }
      this.current = {
        ...this.current,
        here: [...here.values()].sort((a, b) => (a.participant < b.participant ? -1 : 1)),
        ...(board ? { board } : {}),
      };
      this.tell();
    });
  }

  /** Forgets the documents of people who are gone from the board. */
  private letGo(): void {
    for (const id of goneFrom(this.documents.house)) {
      if (!isParticipantId(id) || id === this.me.participant) continue;
      for (const name of [saidBy(id), ballotOf(id)]) {
        this.documents.find(name)?.destroy();
        this.documents.forget(name);
      }
    }
  }

  private tell(): void {
    for (const listener of this.listeners) listener();
  }

  private send(bytes: Uint8Array): void {
    const { ws, wsconnected } = this.provider;
    if (ws && wsconnected) ws.send(new Uint8Array(bytes));
  }

  /** Opens a document, follows its changes and sends on those that were made here. */
  private watch(name: DocumentName): Y.Doc {
    const doc = this.documents.open(name);
    if (this.watched.has(doc)) return doc;
    this.watched.add(doc);
    doc.on('update', (update: Uint8Array, origin: unknown) => {
      if (name !== LEAD_DOCUMENT && origin !== this) {
        this.send(syncFrame(name, SYNC.update, update));
      }
      this.refresh();
    });
    return doc;
  }

  private takeDocument(encoder: encoding.Encoder, decoder: decoding.Decoder): void {
    const parsed = parseDocumentName(decoding.readVarString(decoder));
    const step = decoding.readVarUint(decoder);
    const bytes = decoding.readVarUint8Array(decoder);
    if (!parsed || parsed.kind === 'lead') return;
    const doc = this.watch(parsed.name);
    if (step === SYNC.step1) {
      const missing = Y.encodeStateAsUpdate(doc, bytes);
      encoding.writeUint8Array(encoder, syncFrame(parsed.name, SYNC.step2, missing));
    } else Y.applyUpdate(doc, bytes, this);
  }

  private takeWord(word: Down | undefined): void {
    switch (word?.kind) {
      case 'time':
        this.pulse.heard(word);
        return;
      case 'refused':
        this.takeRefusal(word);
        return;
      case 'new-link':
        this.change({ newLinks: { ...this.current.newLinks, [word.role]: word.path } });
        return;
      case 'code':
        this.change({ code: { code: word.code, untilMs: word.untilMs } });
        return;
      case 'keeping':
        this.change({ late: word.late });
        return;
      case 'welcome':
        if (word.version !== WIRE_VERSION) this.change({ notice: RENEWED });
        return;
      case 'play': // for those who have no documents
      case undefined:
        return; // a word of a newer server; the version in its welcome has said so
    }
  }

  private takeRefusal(refusal: Refusal): void {
    // The server asks for what it lacks, and gets this change with it.
    if (refusal.code === 'incomplete') return;
    const parsed = parseDocumentName(refusal.document);
    const own = parsed && 'owner' in parsed && parsed.owner === this.me.participant;
    if (parsed && own && FORGET.includes(refusal.code)) this.fetchAgain(parsed.name);
    const removed = refusal.code === 'removed';
    if (removed) {
      for (const kept of this.kept.values()) kept.forget();
      forgetOnThisBrowser(this.board, this.me.participant);
    }
    this.change({
      notice: refusal.words,
      ...(removed || refusal.code === 'deleted' ? { gone: true } : {}),
    });
  }

  /** Gives up what this browser holds of a document and takes it from the server. */
  private fetchAgain(name: DocumentName): void {
    this.documents.forget(name);
    const doc = this.watch(name);
    this.kept.get(name)?.begin(doc);
    this.send(syncFrame(name, SYNC.step1, Y.encodeStateVector(doc)));
  }

  private takeStatus(status: 'connected' | 'connecting' | 'disconnected'): void {
    if (status === 'connected') {
      this.pulse.connected();
      // Said anew: after a lost line the others no longer take the state that they had.
      this.provider.awareness.setLocalState(this.presence);
      this.change({ connection: 'connected' });
    } else if (this.current.connection === 'connected') {
      this.pulse.disconnected();
      this.change({ connection: 'lost', late: false });
    }
  }

  /** A page cannot read why a line was refused, and would stand there without a word. */
  private takeClose(): void {
    if (this.current.connection !== 'connecting') return;
    this.tries += 1;
    if (this.tries >= TRIES_UNSAID) this.change({ connection: 'unopened' });
  }
}
