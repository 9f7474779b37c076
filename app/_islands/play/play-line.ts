import type { BoardId, Ms } from '../../../lib/units';
import { followPath } from '../../../shared/board/paths';
import type { PlayState } from '../../../shared/board/play-state';
import { awarenessUpdate } from '../../../shared/wire/awareness';
import type { Down } from '../../../shared/wire/down';
import { awarenessFrame, parseDown, readFrame, wordFrame } from '../../../shared/wire/frame';
import type { Refusal } from '../../../shared/wire/refusal';
import { WIRE_VERSION } from '../../../shared/wire/version';
import { forgetOnThisBrowser } from '../session/kept-here';
import { RENEWED, TRIES_UNSAID } from '../session/line';
import { Pulse } from '../session/pulse';
import type { Me } from '../session/session';
import { socketAddress } from '../session/socket-address';
import type { PlaySource, SourceState } from './source';

/**
 * Pauses before the line is tried again: at first this, each time twice as long up to that, and each shorter by up to a half, so that a hall
 * full of phones does not come all at once. Source: common practice, no source.
 */
const FIRST_PAUSE: Ms = 400;
const LONGEST_PAUSE: Ms = 4000;
/** A line on which a question for the time is not answered for so long is dead: the server answers at once, whatever else it does. */
const DEAD_AFTER: Ms = 8000;
/** A line that has not opened after this long is tried anew. */
const OPENS_WITHIN: Ms = 15_000;
/** How often this page says anew that it is here. Source: y-protocols 1.0, awareness.js: others take it for gone after 30 s. */
const SAY_EVERY: Ms = 15_000;

/** The server has said why, and trying again does not help. Source: `CLOSE` in server/limits.ts, as y-websocket 3.1 reads it. */
function isFinal({ code }: CloseEvent): boolean {
  return code >= 4400 && code < 4500;
}

/** The line of a page that only follows what is played: it is told that in words and has no documents. */
export class PlayLine implements PlaySource {
  private readonly listeners = new Set<() => void>();
  private readonly pulse: Pulse;
  private readonly client = crypto.getRandomValues(new Uint32Array(1))[0] ?? 0;
  private socket: WebSocket | undefined;
  private current: SourceState;
  /** How often it was tried since it was last good. */
  private tries = 0;
  private said = 0;
  private waiting: ReturnType<typeof setTimeout> | undefined;
  private opening: ReturnType<typeof setTimeout> | undefined;
  private readonly saying: ReturnType<typeof setInterval>;
  /** When the oldest question was asked that is not answered yet. */
  private askedMs: Ms | undefined;
  private isOver = false;

  /** @param first what the server rendered, or what was known before */
  constructor(
    private readonly board: BoardId,
    private readonly me: Me,
    first: PlayState,
    renderedMs: Ms,
  ) {
    this.pulse = new Pulse(
      (t1) => this.ask(t1),
      () => this.current.play.transport.kind === 'playing',
      () => this.change({ inTime: this.current.inTime || this.pulse.reading() !== undefined }),
      renderedMs,
    );
    const inTime = this.pulse.reading() !== undefined;
    this.current = { play: first, connection: 'connecting', late: false, gone: false, inTime };
    this.saying = setInterval(() => this.sayMyself(), SAY_EVERY);
    document.addEventListener('visibilitychange', this.hurry);
    window.addEventListener('pageshow', this.hurry);
    window.addEventListener('online', this.hurry);
    this.open();
  }

  readonly subscribe = (listener: () => void): (() => void) => {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  };

  readonly state = (): SourceState => this.current;
  readonly now = (): Ms => this.pulse.now();
  readonly clock = () => this.pulse.reading();

  readonly putNoticeAway = (): void => {
    const { notice: _, ...rest } = this.current;
    this.current = rest;
    this.tell();
  };

  readonly destroy = (): void => {
    this.end();
    this.pulse.stop();
    document.removeEventListener('visibilitychange', this.hurry);
    window.removeEventListener('pageshow', this.hurry);
    window.removeEventListener('online', this.hurry);
    this.listeners.clear();
  };

  private open(): void {
    clearTimeout(this.waiting);
    this.waiting = undefined;
    this.tries += 1;
    const socket = new WebSocket(socketAddress(followPath(this.board)));
    this.socket = socket;
    socket.binaryType = 'arraybuffer';
    this.opening = setTimeout(() => this.lose(), OPENS_WITHIN);
    // What an old socket still brings is not for this line.
    const mine = () => socket === this.socket;
    socket.onopen = () => mine() && this.opened();
    socket.onmessage = ({ data }) => mine() && this.take(data);
    socket.onclose = (event) => mine() && (isFinal(event) ? this.end() : this.lose());
  }

  private opened(): void {
    clearTimeout(this.opening);
    this.askedMs = undefined;
    this.change({ connection: 'connected' });
    this.sayMyself();
    this.pulse.connected();
  }

  /** Gives up a line and tries another one after a while. */
  private lose(): void {
    this.drop();
    if (this.isOver) return;
    const longest = Math.min(LONGEST_PAUSE, FIRST_PAUSE * 2 ** Math.max(0, this.tries - 1));
    this.waiting = setTimeout(() => this.open(), longest * (1 - Math.random() / 2));
  }

  /** Tries no more. */
  private end(): void {
    this.isOver = true;
    clearTimeout(this.waiting);
    clearInterval(this.saying);
    this.waiting = undefined;
    this.drop();
  }

  private drop(): void {
    clearTimeout(this.opening);
    const { socket } = this;
    this.socket = undefined;
    socket?.close();
    this.pulse.disconnected();
    const { connection } = this.current;
    if (connection === 'connected') this.change({ connection: 'lost', late: false });
    else if (connection === 'connecting' && this.tries >= TRIES_UNSAID)
      this.change({ connection: 'unopened' });
  }

  /** Somebody looks again, or there is a network again: not the time to wait. */
  private readonly hurry = (): void => {
    if (this.waiting !== undefined && document.visibilityState === 'visible') this.open();
  };

  private send(bytes: Uint8Array): void {
    if (this.socket?.readyState === WebSocket.OPEN) this.socket.send(new Uint8Array(bytes));
  }

  private ask(t1: Ms): void {
    if (this.socket?.readyState !== WebSocket.OPEN) return;
    if (this.askedMs !== undefined && t1 - this.askedMs >= DEAD_AFTER) {
      this.lose();
      return;
    }
    this.askedMs ??= t1;
    this.send(wordFrame({ kind: 'ask-time', t1 }));
  }

  /** Tells the others that this page is here: each time as news, since they take nothing twice. */
  private sayMyself(): void {
    this.said += 1;
    const { client, said: clock } = this;
    const presence = { participant: this.me.participant };
    this.send(awarenessFrame(awarenessUpdate([{ client, clock, presence }])));
  }

  private take(data: unknown): void {
    const frame = data instanceof ArrayBuffer ? readFrame(new Uint8Array(data)) : undefined;
    if (frame?.kind === 'query-awareness') this.sayMyself();
    if (frame?.kind === 'word') this.takeWord(parseDown(frame.text));
  }

  private takeWord(word: Down | undefined): void {
    switch (word?.kind) {
      case 'welcome':
        this.tries = 0;
        if (word.version !== WIRE_VERSION) this.change({ notice: RENEWED });
        return;
      case 'play':
        this.change({ play: word.state });
        return;
      case 'time':
        this.askedMs = undefined;
        this.pulse.heard(word);
        return;
      case 'keeping':
        this.change({ late: word.late });
        return;
      case 'refused':
        this.takeRefusal(word);
        return;
      // Answers to what is asked for on other pages, and words of a newer server, of which the welcome has told.
      case 'new-link':
      case 'code':
      case undefined:
        return;
    }
  }

  private takeRefusal({ code, words }: Refusal): void {
    const gone = code === 'removed' || code === 'deleted';
    if (code === 'removed') forgetOnThisBrowser(this.board, this.me.participant);
    this.change({ notice: words, ...(gone ? { gone } : {}) });
  }

  private change(change: Partial<SourceState>): void {
    this.current = { ...this.current, ...change };
    this.tell();
  }

  private tell(): void {
    for (const listener of this.listeners) listener();
  }
}
