import { afterAll, beforeAll, expect, onTestFinished, test } from 'vitest';
import { newBoardId } from '../../../server/links';
import { PostgresStore } from '../../../server/store/postgres';
import { withEngines } from '../../kit/engines';
import type { TestPostgres } from '../../kit/postgres';
import { startPostgres } from '../../kit/postgres';
import { codesConform } from './conformance';

withEngines(() => {
  let server: TestPostgres;
  let url: string;
  beforeAll(async () => {
    server = await startPostgres();
    url = await server.newDatabase();
  }, 60_000);
  afterAll(() => server.end());

  async function opened(): Promise<PostgresStore> {
    const store = await PostgresStore.open(url);
    onTestFinished(() => store.close());
    return store;
  }

  codesConform('in PostgreSQL', async (now) => {
    const [first, second] = [await opened(), await opened()];
    const [board, other] = [newBoardId(), newBoardId()];
    for (const id of [board, other]) await first.create({ id, createdMs: 0, links: [] }, []);
    return { one: first.codes(now), two: second.codes(now), board, other };
  });

  test('a board that is not there takes no code', async () => {
    const codes = (await opened()).codes(() => 0);
    for (let turn = 0; turn < 3; turn += 1)
      expect(await codes.take(newBoardId(), 'whatever')).toBeUndefined();
  });
});
