import fc from 'fast-check';
import { expect, test } from 'vitest';
import { IdleBoards } from '../../server/idle';
import { newBoardId } from '../../server/links';
import { MemoryDatabase, MemoryStore } from '../kit/memory-store';

const HOUR = 3_600_000;
const IDLE_DAYS = 3;
const IDLE_HOURS = IDLE_DAYS * 24;

/** A server's life: how wrong its clock is and how long no server had run before it, and its hours, in some of which a board is opened. */
const life = fc.record({
  offsetHours: fc.integer({ min: -9000, max: 9000 }),
  offHours: fc.integer({ min: 0, max: 9000 }),
  used: fc.array(
    fc.oneof(
      { weight: 9, arbitrary: fc.constant(false) },
      { weight: 1, arbitrary: fc.constant(true) },
    ),
    { minLength: 1, maxLength: 60 },
  ),
});

test('a board is deleted when nobody has opened it in the hours in which a server ran, whatever its clocks said', async () => {
  await fc.assert(
    fc.asyncProperty(fc.array(life, { minLength: 1, maxLength: 8 }), async (lives) => {
      const store = new MemoryStore(new MemoryDatabase());
      const board = newBoardId();
      await store.create({ id: board, createdMs: 0, links: [] }, []);
      let hour = 1_000_000;
      let unused = 0;
      let starts = 0;
      for (const { offsetHours, offHours, used } of lives) {
        hour += offHours;
        starts += 1;
        for (const isUsed of used) {
          if (isUsed) unused = 0;
          const now = () => (hour + offsetHours) * HOUR;
          const report = (what: string, error: unknown) => {
            throw new Error(what, { cause: error });
          };
          let removed = 0;
          const open = () => (isUsed ? [board] : []);
          const world = { store, now, report, open, idleDays: IDLE_DAYS };
          await new IdleBoards(world, (boards) => {
            removed += boards.length;
          }).stop();
          // At each start up to two hours are taken for running that were none, or for none that were.
          if (removed > 0) expect(unused).toBeGreaterThanOrEqual(IDLE_HOURS - 2 * starts);
          else expect(unused).toBeLessThanOrEqual(IDLE_HOURS + 2 * starts);
          if (removed > 0) return;
          unused += 1;
          hour += 1;
        }
      }
    }),
    { seed: 20261129, numRuns: 300 },
  );
});
