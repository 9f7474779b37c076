import { describe, expect, test } from 'vitest';
import type { BoardId, Ms } from '../../../lib/units';
import type { Codes } from '../../../server/codes';
import { CODE_LIFE, MAX_CODE_TRIES } from '../../../server/limits';
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
      expect(await one.take(board, code)).toBe('unknown');
    });

    test('of many who try the same code at once on two servers, one gets in', async () => {
      const { one, two, board } = await opened();
      const { code } = await one.give(board, somebody());
      const tries = Array.from({ length: 8 }, (_, at) => (at % 2 ? one : two).take(board, code));
      const inside = (await Promise.all(tries)).filter((taken) => typeof taken !== 'string');
      expect(inside).toHaveLength(1);
    });

    test('a new code of the same person puts the old one away, also on the other server', async () => {
      const { one, two, board } = await opened();
      const me = somebody();
      const old = await one.give(board, me);
      const other = await one.give(board, somebody());
      const fresh = await two.give(board, me);
      expect(await one.take(board, old.code)).toBe('unknown');
      expect(await one.take(board, fresh.code)).toEqual(me);
      expect(await two.take(board, other.code)).not.toBe('unknown');
    });

    test('a code opens no other board, and nothing after its time', async () => {
      const { one, two, board, other } = await opened();
      const { code } = await one.give(board, somebody());
      expect(await two.take(other, code)).toBe('unknown');
      nowMs += CODE_LIFE + 1;
      expect(await two.take(board, code)).toBe('unknown');
    });

    test('the codes of somebody who is gone are forgotten everywhere', async () => {
      const { one, two, board } = await opened();
      const me = somebody();
      const { code } = await one.give(board, me);
      await two.forget(board, me.participant);
      expect(await one.take(board, code)).toBe('unknown');
    });

    test('wrong tries on all servers together have one limit, right ones do not count, and it ends with the time', async () => {
      const { one, two, board } = await opened();
      const me = somebody();
      for (let turn = 0; turn < MAX_CODE_TRIES; turn += 1) {
        const { code } = await one.give(board, me);
        expect(await two.take(board, code)).toEqual(me);
      }
      const wrong = Array.from({ length: MAX_CODE_TRIES + 5 }, (_, at) =>
        (at % 2 ? one : two).take(board, `wrong ${at}`),
      );
      const told = await Promise.all(wrong);
      expect(told.filter((word) => word === 'unknown')).toHaveLength(MAX_CODE_TRIES);
      const { code } = await one.give(board, me);
      expect(await two.take(board, code)).toBe('wait');
      nowMs += CODE_LIFE + 1;
      const later = await two.give(board, me);
      expect(await one.take(board, later.code)).toEqual(me);
    });
  });
}
