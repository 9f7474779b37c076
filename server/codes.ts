import { randomInt } from 'node:crypto';
import type { BoardId, Ms } from '../lib/units';
import { CODE_LIFE, MAX_CODE_TRIES } from './limits';
import type { Session } from './links';

/** Letters and digits that nobody takes for one another, spoken or written. */
const SIGNS = 'abcdefghjkmnpqrstuvwxyz23456789';
/** 31^8 codes: one in forty thousand million is guessed, and only MAX_CODE_TRIES tries are free. */
const LENGTH = 8;

interface Given {
  readonly session: Session;
  readonly untilMs: Ms;
}

interface Tries {
  readonly count: number;
  readonly untilMs: Ms;
}

/** Short-lived codes that make a second browser the same person. They live in memory only, and each opens once. */
export class Codes {
  private readonly given = new Map<string, Given>();
  private readonly tries = new Map<BoardId, Tries>();

  constructor(private readonly now: () => Ms) {}

  /** A new code for somebody; the one they had before opens nothing any more. */
  give(board: BoardId, session: Session): { readonly code: string; readonly untilMs: Ms } {
    this.dropOld();
    for (const [key, { session: other }] of this.given)
      if (key.startsWith(board) && other.participant === session.participant)
        this.given.delete(key);
    const code = Array.from({ length: LENGTH }, () => SIGNS[randomInt(SIGNS.length)]).join('');
    const untilMs = this.now() + CODE_LIFE;
    this.given.set(`${board} ${code}`, { session, untilMs });
    return { code, untilMs };
  }

  /** Who a code stands for, once; "wait" when too many were wrong. Blanks and capitals do not matter. */
  take(board: BoardId, text: string): Session | 'unknown' | 'wait' {
    this.dropOld();
    const tries = this.tries.get(board);
    if (tries && tries.count >= MAX_CODE_TRIES) return 'wait';
    const key = `${board} ${text.toLowerCase().replaceAll(/[\s-]/g, '')}`;
    const found = this.given.get(key);
    this.given.delete(key);
    if (found) return found.session;
    this.tries.set(board, {
      count: (tries?.count ?? 0) + 1,
      untilMs: tries?.untilMs ?? this.now() + CODE_LIFE,
    });
    return 'unknown';
  }

  /** Forgets the codes of somebody who is gone. */
  forget(board: BoardId, participant: string): void {
    for (const [key, { session }] of this.given)
      if (key.startsWith(board) && session.participant === participant) this.given.delete(key);
  }

  private dropOld(): void {
    const now = this.now();
    for (const [key, { untilMs }] of this.given) if (untilMs < now) this.given.delete(key);
    for (const [board, { untilMs }] of this.tries) if (untilMs < now) this.tries.delete(board);
  }
}
