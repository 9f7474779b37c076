import pg from 'pg';
import { expect, onTestFinished, test, vi } from 'vitest';
import { CLOSE } from '../../server/limits';
import { PrintDesk } from '../../server/print';
import { SqliteStore } from '../../server/store/sqlite';
import { ballotOf } from '../../shared/board/roles';
import { writeApproval, writePasses } from '../../shared/board/write';
import { startEngines } from '../kit/engine-servers';
import { withEngines } from '../kit/engines';
import { MemoryHub } from '../kit/memory-hub';
import { MemoryDatabase, MemoryStore } from '../kit/memory-store';
import { OPERATOR_TOKEN, startNode } from '../kit/nodes';
import { Peer } from '../kit/peers';
import { eventually } from '../kit/provider';
import type { TestBoard, TestServer } from '../kit/server';
import { startTestServer, testFolder } from '../kit/server';
import { testConfig } from '../kit/server-config';

const QUERY = new URLSearchParams();
const STRANGER = { cookieHeader: undefined };

/** A peer that was told in words that its board was deleted, and whose socket is closed for good. */
async function told(peer: Peer): Promise<void> {
  await peer.until(() => peer.closed !== undefined);
  expect(peer.closed?.code).toBe(CLOSE.deleted);
  expect(peer.refusals.map(({ code }) => code)).toEqual(['deleted']);
}

/** Whatever is asked for about a board that is gone is answered that there is none. */
async function isNowhere({ host }: TestServer, { id, secrets }: TestBoard): Promise<void> {
  expect(await host.readBoard(id)).toBeUndefined();
  expect(await host.exportFile(id, { format: 'json' })).toBeUndefined();
  expect(await host.exportWav(id, QUERY, undefined)).toBeUndefined();
  expect(await host.printSheet(id, QUERY, STRANGER)).toBeUndefined();
  expect(await host.openLink(secrets.join, undefined)).toBeUndefined();
}

test('[R26] who opens a board at the moment in which it is deleted is told so, and nothing of it comes back', async () => {
  const config = { ...testConfig(testFolder()), idleDays: 10 };
  const first = await startTestServer({ config });
  const board = await first.create();
  const [me, you] = [await first.visit(board, 'lead'), await first.visit(board, 'join')];
  await first.stop();
  const store = new SqliteStore(config.dataDir);
  let letGo: (() => void) | undefined;
  vi.spyOn(store, 'removeIdle').mockImplementation(async () => {
    await new Promise<void>((go) => {
      letGo = go;
    });
    await store.remove(board.id);
    return [board.id];
  });
  const server = await startTestServer({ config, store, lingerMs: 60_000 });
  const leader = await Peer.joined(server, board, me);
  const student = await Peer.joined(server, board, you);
  await eventually(() => letGo !== undefined, 'idle boards are looked for');
  student.edit(ballotOf(you.participant), (doc) => writeApproval(doc, 'plain:m1', true));
  leader.edit('lead', (doc) => doc.getMap('choice').set('voting', 'agreed'));
  await Promise.all([leader.settled(), student.settled()]);
  letGo?.();
  await Promise.all([leader, student].map(told));
  await isNowhere(server, board);
  await told(await Peer.open(server, board, you));
  expect(server.host.health().boards).toBe(0);
  expect(await store.load(board.id)).toBeUndefined();
  expect(await store.listPoints(board.id)).toEqual([]);
});

test('[R26] a sheet that is printed while its board is deleted is not handed out', async () => {
  const config = testConfig(testFolder());
  const store = new SqliteStore(config.dataDir);
  const server = await startTestServer({ config, store });
  const board = await server.create();
  const answer = { ok: true, bytes: new Uint8Array([1]) } as const;
  const print = vi.spyOn(PrintDesk.prototype, 'print').mockResolvedValueOnce(answer);
  onTestFinished(() => print.mockRestore());
  expect(await server.host.printSheet(board.id, QUERY, STRANGER)).toEqual(answer);
  print.mockImplementationOnce(async () => {
    await store.remove(board.id);
    return answer;
  });
  expect(await server.host.printSheet(board.id, QUERY, STRANGER)).toBeUndefined();
});

/** People at work on two nodes, and the board deleted under them on a third. */
async function deletedAmongNodes(start: () => Promise<TestServer>) {
  const nodes = [await start(), await start()] as const;
  const third = await start();
  const board = await nodes[0].create();
  const me = await nodes[0].visit(board, 'lead');
  const you = await nodes[1].visit(board, 'join');
  const leader = await Peer.joined(nodes[0], board, me);
  const student = await Peer.joined(nodes[1], board, you);
  const follower = await Peer.following(nodes[1], board, you);
  for (let turn = 1; turn < 20; turn += 1) leader.edit('lead', (doc) => writePasses(doc, turn));
  leader.edit('lead', (doc) => doc.getMap('choice').set('voting', 'agreed'));
  await leader.settled();
  const leaving = await Peer.joined(nodes[1], board, await nodes[1].visit(board, 'watch'));
  const deleting = third.host.deleteBoard(board.id, `Bearer ${OPERATOR_TOKEN}`);
  await Promise.all([deleting, leaving.leave()]);
  expect(await deleting).toEqual({ ok: true });
  await Promise.all([leader, student, follower].map(told));
  for (const node of [...nodes, third]) {
    await isNowhere(node, board);
    await told(await Peer.open(node, board, you));
  }
  for (const node of [...nodes, third]) await node.stop();
  return board;
}

test('[R26] a board that another node deletes while it is open is told to all and does not come back', async () => {
  const [database, hub] = [new MemoryDatabase(), new MemoryHub()];
  const start = () =>
    startNode('postgres://in.memory/only', undefined, {
      store: new MemoryStore(database),
      fanout: () => hub.line(),
    });
  await deletedAmongNodes(start);
  expect(database.boards.size).toBe(0);
});

withEngines(() => {
  test('[R26] the same with PostgreSQL, where no row of it is left in any table', async () => {
    const engines = await startEngines();
    onTestFinished(() => engines.end());
    const url = await engines.postgres.newDatabase();
    const { id } = await deletedAmongNodes(() => startNode(url, engines.redis.url));
    const client = new pg.Client({ connectionString: url });
    await client.connect();
    const tables = await client.query(
      "SELECT table_name AS name FROM information_schema.columns WHERE table_schema = 'passround' AND column_name = 'board'",
    );
    expect(tables.rows.length).toBeGreaterThan(5);
    for (const { name } of tables.rows) {
      const { rows } = await client.query(`SELECT 1 FROM passround.${name} WHERE board = $1`, [id]);
      expect(rows, name).toEqual([]);
    }
    await client.end();
  }, 60_000);
});
