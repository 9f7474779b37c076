import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { SqliteStore } from '../../server/store/sqlite';
import { saidBy } from '../../shared/board/roles';
import { writeName } from '../../shared/board/write';
import { Peer } from '../kit/peers';
import { eventually } from '../kit/provider';
import { startTestServer, testFolder } from '../kit/server';
import { testConfig } from '../kit/server-config';

const DAY = 24 * 3_600_000;
const START = 1_700_000_000_000;

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
  const second = await at(8, 10);
  expect(await second.host.readBoard(used.id)).toBeDefined();
  expect(second.host.health().boards).toBe(2);
  expect(second.host.idleDays()).toBe(10);
  await second.stop();
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
