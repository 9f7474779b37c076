import { expect, test } from 'vitest';
import type { Tally } from '../../kit/schedule';
import { Schedule } from '../../kit/schedule';

/** Seeds of the normal run, from 1; PASSROUND_SCHEDULES asks for more. */
const SCHEDULES = Number(process.env.PASSROUND_SCHEDULES ?? 200);
/** So many run side by side: most of their time is waiting. */
const AT_ONCE = 20;

test(`${SCHEDULES} random schedules of faults: nothing that was seen is lost, what was refused stays refused, and all end the same`, async () => {
  const tally: Tally = {
    cuts: 0,
    kills: 0,
    moves: 0,
    edits: 0,
    notKept: 0,
    refused: 0,
    lost: 0,
    doubled: 0,
    late: 0,
  };
  for (let first = 1; first <= SCHEDULES; first += AT_ONCE) {
    const seeds = Array.from(
      { length: Math.min(AT_ONCE, SCHEDULES - first + 1) },
      (_, at) => first + at,
    );
    const ends = await Promise.allSettled(seeds.map((seed) => new Schedule(seed, tally).run()));
    const failed = ends.flatMap((end) => (end.status === 'rejected' ? [String(end.reason)] : []));
    expect(failed).toEqual([]);
  }
  // Each kind of fault has happened, many times over.
  const least = Math.min(...Object.values(tally));
  expect(least, JSON.stringify(tally)).toBeGreaterThan(SCHEDULES / 8);
}, 600_000);
