import { createHash } from 'node:crypto';
import * as v from 'valibot';
import type { BoardId, Ms, ParticipantId } from '../../lib/units';
import { isParticipantId, ROLES } from '../../shared/board/roles';
import type { Codes, GivenCode } from '../codes';
import { newCode, plainCode } from '../codes';
import { CODE_LIFE } from '../limits';
import type { Session } from '../links';
import type { Database } from './database';

/** A person has one code at most. $1 board, $2 participant, $3 role, $4 hash, $5 until. */
const GIVE = `
  INSERT INTO passround.codes (board, participant, role, hash, until_ms) VALUES ($1, $2, $3, $4, $5)
  ON CONFLICT (board, participant) DO UPDATE SET role = $3, hash = $4, until_ms = $5`;

const DROP_OLD = 'DELETE FROM passround.codes WHERE until_ms < $1';

/** A code that opens is gone. $1 board, $2 hash, $3 now. */
const TAKE = `
  DELETE FROM passround.codes WHERE board = $1 AND hash = $2 AND until_ms >= $3
  RETURNING participant, role`;

const sessionRows = v.array(
  v.object({
    participant: v.custom<ParticipantId>(isParticipantId),
    role: v.picklist(ROLES),
  }),
);

/** Codes that every node takes, whichever gave them. The database holds their hashes. */
export class PostgresCodes implements Codes {
  constructor(
    private readonly database: Database,
    private readonly now: () => Ms,
  ) {}

  async give(board: BoardId, { participant, role }: Session): Promise<GivenCode> {
    const code = newCode();
    const now = this.now();
    const untilMs = now + CODE_LIFE;
    await this.database.write(DROP_OLD, [now]);
    await this.database.write(GIVE, [board, participant, role, hashOf(board, code), untilMs]);
    return { code, untilMs };
  }

  async take(board: BoardId, text: string): Promise<Session | undefined> {
    const values = [board, hashOf(board, plainCode(text)), this.now()];
    const [session] = await this.database.writeAndRead(TAKE, values, sessionRows);
    return session;
  }

  async forget(board: BoardId, participant: ParticipantId): Promise<void> {
    const text = 'DELETE FROM passround.codes WHERE board = $1 AND participant = $2';
    await this.database.write(text, [board, participant]);
  }
}

function hashOf(board: BoardId, code: string): string {
  return createHash('sha256').update(`${board} ${code}`).digest('hex');
}
