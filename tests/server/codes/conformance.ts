import { describe, expect, test } from 'vitest';
import type { BoardId, Ms } from '../../../lib/units';
import type { Codes } from '../../../server/codes';
import { CODE_LIFE } from '../../../server/limits';
import type { Session } from '../../../server/links';
import { newParticipantId } from '../../../server/links';

/** Two servers' codes of the same boards, and a board that is there. */
export interface TwoDesks {
  readonly one: Codes;
  readonly two: Codes;
  readonly board: BoardId;
  readonly other: BoardId;
}

const somebody = (): Session => ({ participant: newParticipantId(), role: 'join' });

/** What codes must do, on whichever server they are given and taken. Run it for each implementation. */
export function codesConform(name: string, open: (now: () => Ms) => Promise<TwoDesks>): void {
  describe(`[R21] codes, ${name}`, () => {
    let nowMs = 0;
    const opened = () => {
      nowMs = 1_700_000_000_000;
      return open(() => nowMs);
    };

    test('a code opens once, on another server than gave it, however it is written', async () => {
      const { one, two, board } = await opened();
      const me = somebody();
      const { code, untilMs } = await one.give(board, me);
      expect(untilMs).toBe(nowMs + CODE_LIFE);
      expect(await two.take(board, ` ${code.slice(0, 4).toUpperCase()}-${code.slice(4)}`)).toEqual(
        me,
      );
      expect(await one.take(board, code)).toBeUndefined();
    });

    test('of many who try the same code at once on two servers, one gets in', async () => {
      const { one, two, board } = await opened();
      const { code } = await one.give(board, somebody());
      const tries = Array.from({ length: 8 }, (_, at) => (at % 2 ? one : two).take(board, code));
      const inside = (await Promise.all(tries)).filter((taken) => taken !== undefined);
      expect(inside).toHaveLength(1);
    });

    test('a new code of the same person puts the old one away, also on the other server', async () => {
      const { one, two, board } = await opened();
      const me = somebody();
      const old = await one.give(board, me);
      const other = await one.give(board, somebody());
      const fresh = await two.give(board, me);
      expect(await one.take(board, old.code)).toBeUndefined();
      expect(await one.take(board, fresh.code)).toEqual(me);
      expect(await two.take(board, other.code)).not.toBeUndefined();
    });

    test('a code opens no other board, and nothing after its time', async () => {
      const { one, two, board, other } = await opened();
      const { code } = await one.give(board, somebody());
      expect(await two.take(other, code)).toBeUndefined();
      nowMs += CODE_LIFE + 1;
      expect(await two.take(board, code)).toBeUndefined();
    });

    test('the codes of somebody who is gone are forgotten everywhere', async () => {
      const { one, two, board } = await opened();
      const me = somebody();
      const { code } = await one.give(board, me);
      await two.forget(board, me.participant);
      expect(await one.take(board, code)).toBeUndefined();
    });

    test('wrong codes, however many, shut nobody out, on whichever server', async () => {
      const { one, two, board } = await opened();
      const me = somebody();
      const { code } = await one.give(board, me);
      const wrong = Array.from({ length: 60 }, (_, at) =>
        (at % 2 ? one : two).take(board, `wrong ${at}`),
      );
      expect(new Set(await Promise.all(wrong))).toEqual(new Set([undefined]));
      expect(await two.take(board, code)).toEqual(me);
    });

    test('a code is ten signs that nobody takes for one another', async () => {
      const { one, board } = await opened();
      const { code } = await one.give(board, somebody());
      // 31^10 is what the arithmetic in codes.ts stands on.
      expect(code).toMatch(/^[a-hjkmnp-z2-9]{10}$/);
    });
  });
}
