import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, onTestFinished, test, vi } from 'vitest';
import { IdleBoards } from '../../server/idle';
import { newBoardId } from '../../server/links';
import { SqliteStore } from '../../server/store/sqlite';
import type { Store } from '../../server/store/store';
import { saidBy } from '../../shared/board/roles';
import { writeName } from '../../shared/board/write';
import { Peer } from '../kit/peers';
import { eventually } from '../kit/provider';
import { startTestServer, testFolder } from '../kit/server';
import { testConfig } from '../kit/server-config';

const DAY = 24 * 3_600_000;
const START = 1_700_000_000_000;

/** Looks for idle boards at this moment as a server does, and says how many it deletes. */
async function swept(store: Store, day: number, idleDays?: number): Promise<number> {
  let removed = 0;
  const report = (what: string, error: unknown) => {
    throw new Error(what, { cause: error });
  };
  const world = { store, now: () => START + day * DAY, report, open: () => [], idleDays };
  await new IdleBoards(world, (boards) => {
    removed += boards.length;
  }).stop();
  return removed;
}

/** Days in which a server runs and nobody opens a board. */
async function letPass(store: Store, fromDay: number, toDay: number): Promise<void> {
  for (let hour = fromDay * 24; hour <= toDay * 24; hour += 2) await swept(store, hour / 24);
}

async function letPassIn(folder: string, fromDay: number, toDay: number): Promise<void> {
  const store = new SqliteStore(folder);
  await letPass(store, fromDay, toDay);
  await store.close();
}

test('a board is deleted, whole, after as many days without use as the operator says; opening it begins them anew', async () => {
  const folder = testFolder();
  const at = async (day: number, idleDays?: number) =>
    startTestServer({
      config: { ...testConfig(folder), ...(idleDays === undefined ? {} : { idleDays }) },
      now: () => START + day * DAY,
    });
  const first = await at(0);
  const [used, idle] = [await first.create(), await first.create()];
  for (const board of [used, idle]) {
    const me = await first.visit(board, 'join');
    const peer = await Peer.joined(first, board, me);
    peer.edit(saidBy(me.participant), (doc) => writeName(doc, `Zinnober ${board.id}`));
    await peer.settled();
  }
  await first.stop();
  await letPassIn(folder, 0, 8);
  const second = await at(8, 10);
  expect(await second.host.readBoard(used.id)).toBeDefined();
  expect(second.host.health().boards).toBe(2);
  expect(second.host.idleDays()).toBe(10);
  await second.stop();
  await letPassIn(folder, 8, 11);
  const third = await at(11, 10);
  await eventually(() => third.host.health().boards === 1, 'the idle board is deleted');
  expect(await third.host.readBoard(idle.id)).toBeUndefined();
  expect(await third.host.openLink(idle.secrets.join, undefined)).toBeUndefined();
  expect((await third.host.readBoard(used.id))?.people.map(({ name }) => name)).toContain(
    `Zinnober ${used.id}`,
  );
  await third.stop();
  const found = (text: string) =>
    readdirSync(folder).some((file) => readFileSync(join(folder, file)).includes(text));
  expect([found(`Zinnober ${used.id}`), found(`Zinnober ${idle.id}`)]).toEqual([true, false]);
});

test.each([
  ['a clock that was set far ahead', 400],
  ['a clock that was set back', -400],
  ['a summer in a cupboard', 80],
])('%s deletes no board, and takes nothing from the days that count', async (_, jump) => {
  const store = new SqliteStore(testFolder());
  const board = newBoardId();
  await store.create({ id: board, createdMs: START, links: [] }, []);
  await store.touch([board], START);
  await letPass(store, 0, 8);
  const removed = [];
  for (const day of [8, 8 + jump, 8.05, 8.05 + jump, 8.1])
    removed.push(await swept(store, day, 10));
  expect(removed).toEqual([0, 0, 0, 0, 0]);
  await letPass(store, 8.1, 9.9);
  expect(await swept(store, 9.95, 10)).toBe(0);
  await letPass(store, 9.95, 10.2);
  expect(await swept(store, 10.25, 10)).toBe(1);
  await store.close();
});

test('without such a setting no board is ever deleted', async () => {
  const folder = testFolder();
  const config = testConfig(folder);
  let day = 0;
  const server = await startTestServer({ config, now: () => START + day * DAY });
  const board = await server.create();
  await server.stop();
  day = 5000;
  const late = await startTestServer({ config, now: () => START + day * DAY });
  expect(await late.host.readBoard(board.id)).toBeDefined();
  await late.stop();
  const store = new SqliteStore(folder);
  expect(await store.countBoards()).toBe(1);
  await store.close();
});

test.each([
  ['while time is noted', (store: Store) => vi.spyOn(store, 'noteTime')],
  ['while boards are noted', (store: Store) => vi.spyOn(store, 'touch')],
  ['while idle boards are removed', (store: Store) => vi.spyOn(store, 'removeIdle')],
])('a fault of ours %s is told, and the next sweep tries again', async (_, spied) => {
  vi.useFakeTimers({ toFake: ['setInterval', 'clearInterval'] });
  onTestFinished(() => {
    vi.useRealTimers();
  });
  const store = new SqliteStore(testFolder());
  const board = newBoardId();
  await store.create({ id: board, createdMs: START, links: [] }, []);
  await store.noteTime(START, DAY);
  await store.touch([board], START - 20 * DAY);
  spied(store).mockImplementationOnce(() => {
    throw new TypeError('planted by the test');
  });
  const reports: unknown[] = [];
  const removed: unknown[] = [];
  const report = (words: string, error: unknown) => reports.push([words, error]);
  const open = () => [newBoardId()];
  const world = { store, now: () => START, report, open, idleDays: 10 };
  const idle = new IdleBoards(world, (boards) => removed.push(...boards));
  await eventually(() => reports.length > 0, 'it is told');
  expect(removed).toEqual([]);
  vi.advanceTimersByTime(3_600_000);
  await eventually(() => removed.length > 0, 'the board is removed');
  await idle.stop();
  expect(removed).toEqual([board]);
  expect(reports).toEqual([
    [expect.stringContaining('Something went wrong'), new TypeError('planted by the test')],
  ]);
  await store.close();
});
