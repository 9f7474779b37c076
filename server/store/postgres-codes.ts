import { createHash } from 'node:crypto';
import * as v from 'valibot';
import type { BoardId, Ms, ParticipantId } from '../../lib/units';
import { isParticipantId, ROLES } from '../../shared/board/roles';
import type { Codes, GivenCode } from '../codes';
import { newCode, plainCode } from '../codes';
import { CODE_LIFE, MAX_CODE_TRIES } from '../limits';
import type { Session } from '../links';
import type { Database } from './database';

/** A person has one code at most. $1 board, $2 participant, $3 role, $4 hash, $5 until. */
const GIVE = `
  INSERT INTO passround.codes (board, participant, role, hash, until_ms) VALUES ($1, $2, $3, $4, $5)
  ON CONFLICT (board, participant) DO UPDATE SET role = $3, hash = $4, until_ms = $5`;

const DROP_OLD = `
  WITH tries AS (DELETE FROM passround.code_tries WHERE until_ms < $1)
  DELETE FROM passround.codes WHERE until_ms < $1`;

/**
 * Counts a try before anybody looks whether it is right, so that many at once on many nodes are no more than the limit.
 * Nothing for a board that is not there. $1 board, $2 now, $3 until when the first of them counts.
 */
const COUNT_TRY = `
  INSERT INTO passround.code_tries AS old (board, count, until_ms)
  SELECT id, 1, $3 FROM passround.boards WHERE id = $1
  ON CONFLICT (board) DO UPDATE SET
    count = CASE WHEN old.until_ms < $2 THEN 1 ELSE old.count + 1 END,
    until_ms = CASE WHEN old.until_ms < $2 THEN $3 ELSE old.until_ms END
  RETURNING count`;

/** A code that opens is gone, and its try does not count. $1 board, $2 hash, $3 now. */
const TAKE = `
  WITH taken AS (
    DELETE FROM passround.codes WHERE board = $1 AND hash = $2 AND until_ms >= $3
    RETURNING participant, role
  ), counted AS (
    UPDATE passround.code_tries SET count = count - 1 WHERE board = $1 AND EXISTS (SELECT FROM taken)
  )
  SELECT participant, role FROM taken`;

const countRows = v.array(v.object({ count: v.number() }));
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

  async take(board: BoardId, text: string): Promise<Session | 'unknown' | 'wait'> {
    const now = this.now();
    const counting = [board, now, now + CODE_LIFE];
    const [tries] = await this.database.writeAndRead(COUNT_TRY, counting, countRows);
    if (!tries) return 'unknown';
    if (tries.count > MAX_CODE_TRIES) return 'wait';
    const values = [board, hashOf(board, plainCode(text)), now];
    const [session] = await this.database.writeAndRead(TAKE, values, sessionRows);
    return session ?? 'unknown';
  }

  async forget(board: BoardId, participant: ParticipantId): Promise<void> {
    const text = 'DELETE FROM passround.codes WHERE board = $1 AND participant = $2';
    await this.database.write(text, [board, participant]);
  }
}

function hashOf(board: BoardId, code: string): string {
  return createHash('sha256').update(`${board} ${code}`).digest('hex');
}
