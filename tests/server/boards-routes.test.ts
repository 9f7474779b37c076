import { createServer } from 'node:http';
import next from 'next';
import { afterAll, beforeAll, expect, onTestFinished, test, vi } from 'vitest';
import { ImportDesk } from '../../server/imports/desk';
import { BOARDS_AN_HOUR } from '../../server/limits';
import { newBoardId } from '../../server/links';
import type { Pages } from '../../server/serve';
import { SqliteStore } from '../../server/store/sqlite';
import { StoreError } from '../../server/store/store';
import { startTestServer, testFolder } from '../kit/server';
import { testConfig } from '../kit/server-config';

/** The built pages in this process, so that what stands behind them can go wrong as the test says. */
const app = next({ dev: false, httpServer: createServer() });
const pages: Pages = (request, response) => app.getRequestHandler()(request, response);
beforeAll(() => app.prepare(), 60_000);
afterAll(() => app.close());

const TOKEN = 'a token of the operator for tests';
const OPERATOR = { authorization: `Bearer ${TOKEN}` };
const UNWELL = new URL('../kit/unwell-reader.ts', import.meta.url);
const DEMO = JSON.stringify({ tune: { demo: true } });

/** A server with pages, whose readers go wrong where a body asks for it, one at a time, and where nobody may wait. */
async function served() {
  const config = { ...testConfig(testFolder()), backupToken: TOKEN };
  const store = new SqliteStore(config.dataDir);
  const limits = { program: UNWELL, patience: 1500, heap: 64, places: 1, waiting: 0 };
  const imports = new ImportDesk(() => undefined, limits);
  onTestFinished(() => imports.stop());
  const server = await startTestServer({ config, store, imports, pages });
  const make = (body: string) => fetch(`${server.address}/api/boards`, { method: 'POST', body });
  const remove = (board: string, headers: Readonly<Record<string, string>> = OPERATOR) =>
    fetch(`${server.address}/api/boards/${board}`, { method: 'DELETE', headers });
  return { server, store, imports, make, remove };
}

/** What an answer says: its status, when to ask again, and its words, which are all of it. */
async function said(answer: Response) {
  expect(answer.headers.get('content-type')).toBe('application/json');
  const { error, ...more }: { error: { message: string } } = await answer.json();
  expect(more).toEqual({});
  return [answer.status, answer.headers.get('retry-after'), error.message];
}

test.each([
  ['takes too long', 'endless', 422, /longer to read than the 1.5 seconds.* shorter tune/],
  ['takes too much memory', 'memory', 422, /more memory to read/],
  ['shows a mistake of the program', 'mistake', 500, /mistake of this program/],
  ['is no JSON', 'no JSON', 400, /not JSON/],
])(
  'a tune that %s is answered in words, and not to be sent again',
  async (_, body, status, words) => {
    const { server, make } = await served();
    expect(await said(await make(body))).toEqual([status, null, expect.stringMatching(words)]);
    expect((await make(DEMO)).status).toBe(201);
    expect(server.host.health().boards).toBe(1);
  },
);

test('where too many tunes are read, and while the server stops, that is said with the time to ask again', async () => {
  const { imports, make } = await served();
  const first = make('endless');
  const refused: unknown[] = [];
  await expect
    .poll(async () => {
      const answer = await make(DEMO);
      if (answer.status === 503) refused.push(await said(answer));
      return answer.status;
    })
    .toBe(503);
  expect(refused).toEqual([[503, '5', expect.stringContaining('a few tunes at a time')]]);
  expect((await first).status).toBe(422);
  await imports.stop();
  expect(await said(await make(DEMO))).toEqual([503, '5', expect.stringContaining('stopping')]);
});

test('a board that the disk does not take is answered in words, and so are too many of one network', async () => {
  const { server, store, make } = await served();
  vi.spyOn(store, 'create').mockRejectedValueOnce(new StoreError('the disk is full'));
  expect(await said(await make(DEMO))).toEqual([503, null, expect.stringContaining('not be kept')]);
  expect(server.host.health().boards).toBe(0);
  for (let made = 1; made < BOARDS_AN_HOUR; made += 1) await make('no JSON');
  expect(await said(await make(DEMO))).toEqual([429, null, expect.stringContaining('an hour')]);
});

test('[R26] the operator deletes a board over HTTP, once', async () => {
  const { server, remove } = await served();
  const board = await server.create();
  const deleted = await remove(board.id);
  expect([deleted.status, await deleted.text()]).toEqual([204, '']);
  expect(await server.host.readBoard(board.id)).toBeUndefined();
  const from = 'was deleted by the operator, from 127.0.0.1.';
  expect(server.reports).toEqual([`Board ${board.id} ${from}`]);
  expect(await said(await remove(board.id))).toEqual([404, null, 'There is no such board.']);
});

test('nobody but the operator deletes a board over HTTP, and no page of another site has it done', async () => {
  const { server, store, remove } = await served();
  const board = await server.create();
  const leader = await server.visit(board, 'lead');
  const wrong: readonly (readonly [number, Readonly<Record<string, string>>])[] = [
    [401, {}],
    [401, { cookie: leader.cookie }],
    [401, { authorization: `Basic ${btoa(`operator:${TOKEN}`)}` }],
    [401, { authorization: `${OPERATOR.authorization}x` }],
    [403, { ...OPERATOR, origin: 'https://elsewhere.example' }],
    [403, { ...OPERATOR, 'sec-fetch-site': 'cross-site' }],
    [403, { ...OPERATOR, 'sec-fetch-site': 'same-site' }],
  ];
  for (const [status, headers] of wrong)
    expect(await said(await remove(board.id, headers))).toEqual([status, null, expect.any(String)]);
  expect(await said(await remove(newBoardId(), {}))).toEqual([401, null, expect.any(String)]);
  for (const id of ['nowhere', 'a%2fb', `${board.id}%20`])
    expect(await said(await remove(id))).toEqual([404, null, 'There is no such board.']);
  vi.spyOn(store, 'remove').mockRejectedValueOnce(new StoreError('the disk is full'));
  expect(await said(await remove(board.id))).toEqual([503, null, expect.any(String)]);
  expect(await server.host.readBoard(board.id)).toBeDefined();
  expect((await remove(board.id)).status).toBe(204);
});
