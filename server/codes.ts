import { randomInt } from 'node:crypto';
import type { BoardId, Ms, ParticipantId } from '../lib/units';
import { CODE_LIFE } from './limits';
import type { Session } from './links';

/** Letters and digits that nobody takes for one another, spoken or written. */
const SIGNS = 'abcdefghjkmnpqrstuvwxyz23456789';
/**
 * 31^10 = 8.2 * 10^14 codes. Were all that a server answers tries, 5,000 a second and node (more than it does), 3 * 10^6 of them would fall into
 * the ten minutes in which a code opens: it is guessed once in 2.7 * 10^8 times, with ten nodes once in 2.7 * 10^7. An attack that never
 * stops, on a board with one code open at every moment, would get in once in 5,000 years, or 500 with ten nodes. So no count a board
 * is needed, by which a stranger could shut everybody else out. Source: ours.
 */
const LENGTH = 10;

/** A code that was given, and until when it opens (server ms). */
export interface GivenCode {
  readonly code: string;
  readonly untilMs: Ms;
}

/**
 * Short-lived codes that make a second browser the same person. Each opens once. All implementations pass the same suite
 * (tests/server/codes).
 * @throws StoreError from every call if a database does not do its part
 */
export interface Codes {
  /** A new code for somebody; the one they had before opens nothing any more. */
  give(board: BoardId, session: Session): Promise<GivenCode>;
  /** Who a code stands for, once. Blanks, hyphens and capitals do not matter. */
  take(board: BoardId, text: string): Promise<Session | undefined>;
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

/** The codes of a server that is alone. They live in memory only. */
export class LocalCodes implements Codes {
  private readonly given = new Map<string, Given>();

  constructor(private readonly now: () => Ms) {}

  async give(board: BoardId, session: Session): Promise<GivenCode> {
    this.dropOld();
    await this.forget(board, session.participant);
    const code = newCode();
    const untilMs = this.now() + CODE_LIFE;
    this.given.set(`${board} ${code}`, { session, untilMs });
    return { code, untilMs };
  }

  async take(board: BoardId, text: string): Promise<Session | undefined> {
    this.dropOld();
    const key = `${board} ${plainCode(text)}`;
    const found = this.given.get(key);
    this.given.delete(key);
    return found?.session;
  }

  async forget(board: BoardId, participant: ParticipantId): Promise<void> {
    for (const [key, { session }] of this.given)
      if (key.startsWith(board) && session.participant === participant) this.given.delete(key);
  }

  private dropOld(): void {
    const now = this.now();
    for (const [key, { untilMs }] of this.given) if (untilMs < now) this.given.delete(key);
  }
}
