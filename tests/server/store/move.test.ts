import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { readConfig } from '../../../server/config';
import { newBoardId } from '../../../server/links';
import { copyIntoFile } from '../../../server/store/move';
import { moveCommand } from '../../../server/store/move-command';
import { PostgresStore } from '../../../server/store/postgres';
import type { ListedStore } from '../../../server/store/shared';
import { SQLITE_FILE, SqliteStore } from '../../../server/store/sqlite';
import type { LoggedUpdate } from '../../../server/store/store';
import { withEngines } from '../../kit/engines';
import type { TestPostgres } from '../../kit/postgres';
import { startPostgres } from '../../kit/postgres';
import { testFolder } from '../../kit/server';

function plain(entries: readonly LoggedUpdate[] | undefined) {
  return entries?.map(({ document, update }) => [document, [...update]]);
}

/** Everything that a store holds, to be compared. */
async function allOf(store: ListedStore) {
  const boards = await store.listBoards();
  return Promise.all(
    boards.map(async (board) => ({
      ...board,
      links: [...board.links].sort((a, b) => a.hash.localeCompare(b.hash)),
      log: plain(await store.load(board.id)),
      points: await store.listPoints(board.id),
      past: plain(await store.readPoint(board.id, 2)),
    })),
  );
}

async function fill(store: ListedStore): Promise<void> {
  for (let number = 0; number < 12; number += 1) {
    const id = newBoardId();
    const links = (['lead', 'join', 'watch'] as const).map((role) => ({
      role,
      hash: `${role} ${id}`,
    }));
    const entry = (...bytes: number[]) =>
      ({ document: 'lead', update: new Uint8Array(bytes) }) as const;
    await store.create({ id, createdMs: 1_700_000_000_000.25 + number, links }, [entry(number)]);
    await store.append(id, [entry(0, 255, number), { ...entry(), document: 'house' }]);
    for (const why of ['agreed', 'time'] as const)
      await store.keepPoint(id, { atMs: number, why, mark: `m ${number}`, documents: [entry(7)] });
  }
}

test('a copy into a file holds everything', async () => {
  const from = new SqliteStore(testFolder());
  await fill(from);
  const folder = testFolder();
  await copyIntoFile(from, join(folder, SQLITE_FILE));
  const copy = new SqliteStore(folder);
  expect(await allOf(copy)).toEqual(await allOf(from));
  await Promise.all([from.close(), copy.close()]);
});

withEngines(() => {
  let server: TestPostgres;
  beforeAll(async () => {
    server = await startPostgres();
  }, 60_000);
  afterAll(() => server.end());

  const run = async (way: string, env: Readonly<Record<string, string>>) => {
    const said: string[] = [];
    const code = await moveCommand([way], env, (line) => said.push(line));
    return { code, said: said.join('\n') };
  };

  test('boards, links, logs and the secret go to PostgreSQL and come back the same', async () => {
    const DATABASE_URL = await server.newDatabase();
    const there = { DATABASE_URL, DATA_DIR: testFolder() };
    const { secret } = readConfig(there);
    const from = new SqliteStore(there.DATA_DIR);
    await fill(from);
    const before = await allOf(from);
    expect(before).toHaveLength(12);
    await from.close();
    expect(await run('to-postgres', there)).toMatchObject({ code: 0 });

    const postgres = await PostgresStore.open(DATABASE_URL);
    expect(await allOf(postgres)).toEqual(before);
    expect(await postgres.settle('secret', 'another')).toBe(secret);
    await postgres.close();

    const back = { DATABASE_URL, DATA_DIR: testFolder() };
    expect(await run('to-sqlite', back)).toMatchObject({ code: 0 });
    const again = new SqliteStore(back.DATA_DIR);
    expect(await allOf(again)).toEqual(before);
    await again.close();
    expect(readFileSync(join(back.DATA_DIR, 'secret'), 'utf8')).toBe(secret);
  });

  test('a running database is copied into a file for a backup', async () => {
    const postgres = await PostgresStore.open(await server.newDatabase());
    await fill(postgres);
    const folder = testFolder();
    await postgres.copyTo(join(folder, SQLITE_FILE));
    const copy = new SqliteStore(folder);
    expect(await allOf(copy)).toEqual(await allOf(postgres));
    await Promise.all([postgres.close(), copy.close()]);
  });

  test.each<[string, string, (folder: string, url: string) => Promise<unknown>]>([
    [
      'there are boards already',
      'to-postgres',
      async (_, url) => {
        const postgres = await PostgresStore.open(url);
        await fill(postgres);
        await postgres.close();
      },
    ],
    [
      'the data folder is no database',
      'to-postgres',
      async (folder) => writeFileSync(join(folder, SQLITE_FILE), 'a letter\n'.repeat(2000)),
    ],
    ['the way is unknown', 'to-paper', async () => undefined],
  ])('where %s, nothing is moved and one sentence says so', async (_, way, prepare) => {
    const env = { DATABASE_URL: await server.newDatabase(), DATA_DIR: testFolder() };
    await prepare(env.DATA_DIR, env.DATABASE_URL);
    const { code, said } = await run(way, env);
    expect(code).toBe(1);
    expect(said).not.toBe('');
  });
});
