import { randomInt } from 'node:crypto';
import type { BoardId, Ms, ParticipantId } from '../lib/units';
import { CODE_LIFE, MAX_CODE_TRIES } from './limits';
import type { Session } from './links';

/** Letters and digits that nobody takes for one another, spoken or written. */
const SIGNS = 'abcdefghjkmnpqrstuvwxyz23456789';
/** 31^8 codes: one in forty thousand million is guessed, and only MAX_CODE_TRIES tries are free. */
const LENGTH = 8;

/** A code that was given, and until when it opens (server ms). */
export interface GivenCode {
  readonly code: string;
  readonly untilMs: Ms;
}

/**
 * Short-lived codes that make a second browser the same person. Each opens once, and one board takes only MAX_CODE_TRIES wrong ones in a
 * while. All implementations pass the same suite (tests/server/codes).
 * @throws StoreError from every call if a database does not do its part
 */
export interface Codes {
  /** A new code for somebody; the one they had before opens nothing any more. */
  give(board: BoardId, session: Session): Promise<GivenCode>;
  /** Who a code stands for, once; "wait" when too many were wrong. Blanks, hyphens and capitals do not matter. */
  take(board: BoardId, text: string): Promise<Session | 'unknown' | 'wait'>;
  /** Forgets the codes of somebody who is gone. */
  forget(board: BoardId, participant: ParticipantId): Promise<void>;
}

/** A code that nobody has guessed. */
export function newCode(): string {
  return Array.from({ length: LENGTH }, () => SIGNS[randomInt(SIGNS.length)]).join('');
}

/** A code as it is kept, however it was written. */
export function plainCode(text: string): string {
  return text.toLowerCase().replaceAll(/[\s-]/g, '');
}

interface Given {
  readonly session: Session;
  readonly untilMs: Ms;
}

interface Tries {
  readonly count: number;
  readonly untilMs: Ms;
}

/** The codes of a server that is alone. They live in memory only. */
export class LocalCodes implements Codes {
  private readonly given = new Map<string, Given>();
  private readonly tries = new Map<BoardId, Tries>();

  constructor(private readonly now: () => Ms) {}

  async give(board: BoardId, session: Session): Promise<GivenCode> {
    this.dropOld();
    await this.forget(board, session.participant);
    const code = newCode();
    const untilMs = this.now() + CODE_LIFE;
    this.given.set(`${board} ${code}`, { session, untilMs });
    return { code, untilMs };
  }

  async take(board: BoardId, text: string): Promise<Session | 'unknown' | 'wait'> {
    this.dropOld();
    const tries = this.tries.get(board);
    if (tries && tries.count >= MAX_CODE_TRIES) return 'wait';
    const key = `${board} ${plainCode(text)}`;
    const found = this.given.get(key);
    this.given.delete(key);
    if (found) return found.session;
    this.tries.set(board, {
      count: (tries?.count ?? 0) + 1,
      untilMs: tries?.untilMs ?? this.now() + CODE_LIFE,
    });
    return 'unknown';
  }

  async forget(board: BoardId, participant: ParticipantId): Promise<void> {
    for (const [key, { session }] of this.given)
      if (key.startsWith(board) && session.participant === participant) this.given.delete(key);
  }

  private dropOld(): void {
    const now = this.now();
    for (const [key, { untilMs }] of this.given) if (untilMs < now) this.given.delete(key);
    for (const [board, { untilMs }] of this.tries) if (untilMs < now) this.tries.delete(board);
  }
}
