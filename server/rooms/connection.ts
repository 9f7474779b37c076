import type { Duplex } from 'node:stream';
import type { RawData, WebSocket } from 'ws';
import type { ParticipantId } from '../../lib/units';
import type { Role } from '../../shared/board/roles';
import type { Down } from '../../shared/wire/down';
import { wordFrame } from '../../shared/wire/frame';
import { BYTES_A_MESSAGE, CLOSE, MAX_WAITING, MESSAGE_BURST, MESSAGES_A_SECOND } from '../limits';
import { refuse } from './admission';
import type { Framed } from './framed';

/** Who is at the other end of a socket. */
export interface Party {
  readonly participant: ParticipantId;
  readonly role: Role;
  /** Came with a cookie and so will be the same next time; who came by a link's secret alone is somebody new on every socket. */
  readonly returns: boolean;
}

/** What a socket was opened for: the whole board, or only to follow what is played. */
export type Purpose = 'board' | 'play';

/** One socket of a room. */
export class Connection implements Party {
  readonly participant: ParticipantId;
  readonly role: Role;
  readonly returns: boolean;
  private allowance = MESSAGE_BURST;
  private lastMs: number;
  private isAlive = true;
  private isClosing = false;
  private isGathering = false;

  constructor(
    private readonly socket: WebSocket,
    party: Party,
    private readonly now: () => number,
    /** What the socket writes to. */
    private readonly line: Duplex,
    readonly purpose: Purpose = 'board',
  ) {
    this.participant = party.participant;
    this.role = party.role;
    this.returns = party.returns;
    this.lastMs = now();
    socket.on('pong', () => {
      this.isAlive = true;
    });
  }

  /** @param onMessage gets each message that may be read; text messages as undefined */
  listen(onMessage: (message: Uint8Array | undefined) => void, onClose: () => void): void {
    this.socket.on('message', (data, isBinary) => {
      if (this.isClosing) return;
      this.earn();
      const bytes = bytesOf(data);
      this.allowance -= 1 + weightOf(bytes);
      if (this.allowance >= 0) onMessage(isBinary ? bytes : undefined);
      else this.closeBusy();
    });
    this.socket.on('close', onClose);
    // ws tells of a broken message or line here and closes the socket by itself.
    this.socket.on('error', () => this.socket.terminate());
  }

  send(message: Uint8Array): void {
    if (!this.isOpen()) return;
    this.gather();
    this.socket.send(message);
  }

  /** Sends what was framed once for many sockets. */
  pass(framed: Framed): void {
    // Messages are not compressed here, so nothing waits in ws before its own bytes: whole frames come one after the other.
    if (this.isOpen()) this.line.write(framed.bytes);
  }

  /** Can it be sent to? One whose other end does not read is ended. */
  private isOpen(): boolean {
    if (this.socket.readyState !== this.socket.OPEN) return false;
    if (this.socket.bufferedAmount <= MAX_WAITING) return true;
    // A close frame would wait behind all that is not read; the provider comes back by itself and is given the present state.
    this.socket.terminate();
    return false;
  }

  /** Hands all that is sent in this turn to the system at once: a full board is a hundred small messages. */
  private gather(): void {
    if (this.isGathering) return;
    this.isGathering = true;
    this.line.cork();
    process.nextTick(() => {
      this.isGathering = false;
      this.line.uncork();
    });
  }

  say(word: Down): void {
    this.send(wordFrame(word));
  }

  /** Closes the socket; what still comes from it is not taken any more. */
  close(code: number, reason: string): void {
    this.isClosing = true;
    this.socket.close(code, reason);
  }

  /** Tells somebody who sends too much, and closes the socket. */
  closeBusy(): void {
    this.say(refuse('too-busy'));
    this.close(CLOSE.tooManyMessages, 'too many messages');
  }

  /** Ends a socket without waiting for the other end. */
  cut(): void {
    this.socket.terminate();
  }

  /** Ends a socket whose other end has not answered since the last time, and asks the others. */
  ping(): void {
    if (!this.isAlive) {
      this.socket.terminate();
      return;
    }
    this.isAlive = false;
    this.socket.ping();
  }

  /**
   * Counts an answer that was asked for: one question may ask for a whole document, so what it costs is not in its own length. Who has spent too
   * much is closed at their next message.
   */
  countAnswer(message: Uint8Array): void {
    this.allowance -= weightOf(message);
  }

  private earn(): void {
    const now = this.now();
    // A clock that was set back earns nothing, and takes nothing away.
    const earned = (Math.max(0, now - this.lastMs) / 1000) * MESSAGES_A_SECOND;
    this.lastMs = now;
    this.allowance = Math.min(MESSAGE_BURST, this.allowance + earned);
  }
}

/** How many messages more a long one counts for. */
function weightOf(message: Uint8Array): number {
  return Math.floor(message.length / BYTES_A_MESSAGE);
}

function bytesOf(data: RawData): Uint8Array {
  if (Array.isArray(data)) return new Uint8Array(Buffer.concat(data));
  return new Uint8Array(data);
}
