import pg from 'pg';
import { afterAll, beforeAll, expect, onTestFinished, test } from 'vitest';
import type { BoardId } from '../../../lib/units';
import { newBoardId, newParticipantId } from '../../../server/links';
import { PostgresStore } from '../../../server/store/postgres';
import { StoreError } from '../../../server/store/store';
import { saidBy } from '../../../shared/board/roles';
import { withEngines } from '../../kit/engines';
import type { TestPostgres } from '../../kit/postgres';
import { startPostgres } from '../../kit/postgres';
import { startSlowLine } from '../../kit/slow-line';
import { storeConforms } from './conformance';
import { sharedStoreConforms } from './shared-conformance';

withEngines(() => {
  let server: TestPostgres;
  beforeAll(async () => {
    server = await startPostgres();
  }, 60_000);
  afterAll(() => server.end());

  const opened = async (url: string) => {
    const store = await PostgresStore.open(url);
    let closed: Promise<void> | undefined;
    const real = store.close.bind(store);
    store.close = () => {
      closed ??= real();
      return closed;
    };
    onTestFinished(() => store.close());
    return store;
  };
  const update = (...numbers: number[]) =>
    ({ document: 'lead', update: new Uint8Array(numbers) }) as const;
  const boardOf = async (store: PostgresStore): Promise<BoardId> => {
    const id = newBoardId();
    await store.create({ id, createdMs: 1, links: [] }, [update(1)]);
    return id;
  };

  storeConforms('PostgreSQL', () => {
    let url: string | undefined;
    return async () => {
      url ??= await server.newDatabase();
      return opened(url);
    };
  });

  sharedStoreConforms('PostgreSQL', async (count) => {
    const url = await server.newDatabase();
    return Promise.all(Array.from({ length: count }, () => opened(url)));
  });

  test('many nodes that start at once make the tables once', async () => {
    const url = await server.newDatabase();
    const stores = await Promise.all(Array.from({ length: 8 }, () => opened(url)));
    for (const store of stores) expect(await store.countBoards()).toBe(0);
    const client = new pg.Client({ connectionString: url });
    await client.connect();
    const { rows } = await client.query('SELECT level FROM passround.migrations');
    await client.end();
    expect(rows).toEqual([
      { level: 1 },
      { level: 2 },
      { level: 3 },
      { level: 4 },
      { level: 5 },
      { level: 6 },
    ]);
  });

  test('what a node on a slow line keeps or takes out locks nothing while its words are on their way', async () => {
    const url = await server.newDatabase();
    const line = await startSlowLine(url, { least: 0, most: 0, seed: 7 });
    onTestFinished(() => line.end());
    const slowly = new URL(url);
    slowly.host = new URL(line.url).host;
    const slow = await opened(slowly.href);
    const id = await boardOf(slow);
    const watch = new pg.Client({ connectionString: url });
    await watch.connect();
    onTestFinished(() => watch.end());
    line.slow({ least: 200, most: 200 });
    const documents = [update(1), { ...update(2), document: saidBy(newParticipantId()) }];
    const work = Promise.all([
      slow.keepPoint(id, { atMs: 1, why: 'time', mark: 'open -', documents }),
      slow.append(id, [update(3)], [saidBy(newParticipantId())]),
      slow.renewLink(id, { role: 'join', hash: 'new' }),
    ]);
    let isDone = false;
    void work.finally(() => (isDone = true));
    let held = 0;
    while (!isDone) {
      // What PostgreSQL calls a session that has begun something and waits for its client.
      const { rows } = await watch.query(
        "SELECT FROM pg_stat_activity WHERE datname = current_database() AND state LIKE 'idle in transaction%'",
      );
      held += rows.length;
    }
    await work;
    expect(held).toBe(0);
    expect(await slow.listPoints(id)).toHaveLength(1);
  });

  test('a database of a newer program is told and left alone', async () => {
    const url = await server.newDatabase();
    await (await opened(url)).close();
    const client = new pg.Client({ connectionString: url });
    await client.connect();
    await client.query('INSERT INTO passround.migrations (level) VALUES (99)');
    await client.end();
    await expect(PostgresStore.open(url)).rejects.toThrow(StoreError);
  });

  test('a database that cannot be reached is told', async () => {
    await expect(PostgresStore.open('postgres://test@127.0.0.1:1/none')).rejects.toThrow(
      StoreError,
    );
  });

  test('the database tells its time of day', async () => {
    const store = await opened(await server.newDatabase());
    const before = Date.now();
    const told = await store.time();
    // One machine has one clock; PostgreSQL tells microseconds, Date.now() whole milliseconds.
    expect(told).toBeGreaterThanOrEqual(before - 1);
    expect(told).toBeLessThanOrEqual(Date.now() + 1);
  });

  test('after the server was restarted the same store goes on', async () => {
    const store = await opened(await server.newDatabase());
    const board = await boardOf(store);
    await server.restart();
    expect(await store.load(board)).toEqual([update(1)]);
    await store.append(board, [update(2)]);
    expect(await store.load(board)).toEqual([update(1), update(2)]);
  }, 60_000);

  test('while there is no server, everything asked of the store is told to have failed', async () => {
    const store = await opened(await server.newDatabase());
    const board = await boardOf(store);
    await server.stop();
    await expect(store.load(board)).rejects.toThrow(StoreError);
    await expect(store.append(board, [update(2)])).rejects.toThrow(StoreError);
    await server.start();
    expect(await store.load(board)).toEqual([update(1)]);
  }, 60_000);
});
