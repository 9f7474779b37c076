import { expect, onTestFinished, test, vi } from 'vitest';
import { CLOSE } from '../../../server/limits';
import { LiveDocuments } from '../../../server/rooms/documents';
import { SqliteStore } from '../../../server/store/sqlite';
import { saidBy } from '../../../shared/board/roles';
import { writeName, writePasses, writeTransport } from '../../../shared/board/write';
import { Peer } from '../../kit/peers';
import { eventually } from '../../kit/provider';
import type { TestBoard, TestServer } from '../../kit/server';
import { startTestServer, testFolder } from '../../kit/server';
import { testConfig } from '../../kit/server-config';
import { SlowStore } from '../../kit/stores';

async function heldServer() {
  const config = testConfig(testFolder());
  const store = new SlowStore(new SqliteStore(config.dataDir));
  const server = await startTestServer({ config, store, lingerMs: 60_000 });
  const board = await server.create();
  const leader = await Peer.joined(server, board, await server.visit(board, 'lead'));
  const watcher = await Peer.joined(server, board, await server.visit(board, 'watch'));
  await leader.settled();
  return { server, store, board, leader, watcher };
}

/** The passes that a newcomer would be told, or "waits" if the answer has not come when the time has been told. */
async function toldNewcomer(server: TestServer, board: TestBoard): Promise<number | 'waits'> {
  const newcomer = await Peer.open(server, board, await server.visit(board, 'watch'));
  const told = newcomer.fetch('lead').then(
    () => newcomer.sees?.passes ?? 'waits',
    () => 'waits' as const,
  );
  await newcomer.heard();
  const now = Promise.resolve('waits' as const);
  return Promise.race([told, now]);
}

test('[R9] nobody sees a change before it is on disk: no peer, no newcomer, no page', async () => {
  const { server, store, board, leader, watcher } = await heldServer();
  store.hold();
  leader.edit('lead', (doc) => writePasses(doc, 9));
  await leader.heard();
  expect(store.waiting).toBe(1);
  await watcher.heard();
  expect(watcher.sees?.passes).not.toBe(9);
  expect(await toldNewcomer(server, board)).toBe('waits');
  let page: number | undefined;
  const reading = server.host.readBoard(board.id).then((read) => {
    page = read?.passes;
  });
  await watcher.heard();
  expect(page).toBeUndefined();
  store.release();
  await watcher.until(() => watcher.sees?.passes === 9);
  await reading;
  expect(page).toBe(9);
});

test('[R24] while a change is late in being kept all are told, newcomers too, and told when it is over', async () => {
  const { server, store, board, leader, watcher } = await heldServer();
  const told = (peer: Peer) =>
    peer.words.flatMap((word) => (word.kind === 'keeping' ? [word.late] : []));
  store.hold();
  leader.edit('lead', (doc) => writePasses(doc, 9));
  for (const peer of [leader, watcher]) await peer.until(() => told(peer).length === 1);
  const newcomer = await Peer.open(server, board, await server.visit(board, 'watch'));
  await newcomer.until(() => told(newcomer).length === 1);
  leader.edit('lead', (doc) => writePasses(doc, 10));
  store.release();
  const all = [leader, watcher, newcomer];
  for (const peer of all) await peer.until(() => told(peer).length === 2);
  for (const peer of all) expect(told(peer)).toEqual([true, false]);
  await watcher.until(() => watcher.sees?.passes === 10);
});

test('[R9] changes that wait for the disk together come out in their order', async () => {
  const { store, leader, watcher } = await heldServer();
  store.hold();
  const seen: number[] = [];
  watcher.socket.on('message', () => {
    const passes = watcher.sees?.passes;
    if (passes !== undefined && seen.at(-1) !== passes) seen.push(passes);
  });
  for (const passes of [2, 3, 5, 8]) leader.edit('lead', (doc) => writePasses(doc, passes));
  await leader.heard();
  store.release();
  await watcher.until(() => watcher.sees?.passes === 8);
  expect(seen).toEqual([2, 3, 5, 8]);
});

test('[R13] the time is told while changes wait for the disk', async () => {
  const { store, leader } = await heldServer();
  store.hold();
  leader.edit('lead', (doc) => writePasses(doc, 9));
  await leader.heard();
  expect(store.waiting).toBe(1);
  store.release();
});

test('[R13] the time of the question is told back, and the answer does not leave before it came', async () => {
  const { leader, server } = await heldServer();
  const before = server.host.now();
  await leader.heard();
  const told = leader.words.findLast((word) => word.kind === 'time');
  if (told?.kind !== 'time') throw new Error('no time was told');
  expect(told.t2).toBeGreaterThanOrEqual(before);
  expect(told.t3).toBeGreaterThanOrEqual(told.t2);
  expect(server.host.now()).toBeGreaterThanOrEqual(told.t3);
});

test('[R11] what could not be kept is nowhere, everybody is told, and the next one gets what is on disk', async () => {
  const { server, store, board, leader, watcher } = await heldServer();
  const before = watcher.sees?.passes;
  store.fail(true);
  leader.edit('lead', (doc) => writePasses(doc, 9));
  leader.edit('lead', (doc) => writeTransport(doc, { kind: 'stopped' }));
  for (const peer of [leader, watcher]) {
    await peer.until(() => peer.closed !== undefined);
    expect(peer.closed?.code).toBe(4500);
    expect(peer.refusals.map(({ code }) => code)).toEqual(['not-kept']);
  }
  expect(watcher.sees?.passes).toBe(before);
  expect(server.reports).toEqual([`Changes of board ${board.id} could not be kept.`]);
  store.fail(false);
  const next = await Peer.joined(server, board, await server.visit(board, 'lead'));
  expect(next.sees?.passes).toBe(before);
  next.edit('lead', (doc) => writePasses(doc, 6));
  await next.settled();
  expect((await server.host.readBoard(board.id))?.passes).toBe(6);
});

test('[R11] a page that was waiting for what could not be kept gets what is on disk', async () => {
  const { server, store, board, leader } = await heldServer();
  const before = leader.sees?.passes;
  store.hold();
  leader.edit('lead', (doc) => writePasses(doc, 9));
  await leader.heard();
  const page = server.host.readBoard(board.id);
  store.fail(true);
  store.release();
  expect((await page)?.passes).toBe(before);
});

test('[R15] when the last one has left, the log becomes one snapshot of each document, and the board is the same', async () => {
  const config = testConfig(testFolder());
  const store = new SqliteStore(config.dataDir);
  const server = await startTestServer({ config, store });
  const board = await server.create();
  const me = await server.visit(board, 'lead');
  const leader = await Peer.joined(server, board, me);
  leader.edit(saidBy(me.participant), (doc) => writeName(doc, 'Linden'));
  for (let passes = 1; passes <= 20; passes += 1)
    leader.edit('lead', (doc) => writePasses(doc, passes));
  await leader.settled();
  const before = await server.host.readBoard(board.id);
  expect((await store.load(board.id))?.length).toBeGreaterThan(20);
  await leader.leave();
  await server.host.readBoard(board.id);
  await waitFor(() => server.host.health().rooms === 0);
  const entries = (await store.load(board.id)) ?? [];
  expect(entries.length).toBe(new Set(entries.map(({ document }) => document)).size);
  expect(await server.host.readBoard(board.id)).toEqual(before);
  expect(before?.passes).toBe(20);
});

test('[R15] a long log is shortened while people are there', async () => {
  const config = testConfig(testFolder());
  const store = new SqliteStore(config.dataDir);
  const server = await startTestServer({ config, store });
  const board = await server.create();
  const leader = await Peer.joined(server, board, await server.visit(board, 'lead'));
  for (let turn = 0; turn < 700; turn += 1)
    leader.edit('lead', (doc) => writePasses(doc, 1 + (turn % 17)));
  await leader.settled();
  await leader.settled();
  const entries = (await store.load(board.id)) ?? [];
  expect(entries.length).toBeLessThan(700);
  expect((await server.host.readBoard(board.id))?.passes).toBe(1 + (699 % 17));
});

/** Waits for something that nobody tells about, turn by turn of the event loop. */
async function waitFor(condition: () => boolean): Promise<void> {
  while (!condition()) await new Promise((turn) => setImmediate(turn));
}

test('[R11] where a message brings a fault to light, its board is loaded again from the disk, and no other board feels it', async () => {
  const reports: string[] = [];
  const report = (words: string) => reports.push(words);
  const server = await startTestServer({ lingerMs: 60_000, report });
  const [board, elsewhere] = [await server.create(), await server.create()];
  const me = await server.visit(board, 'lead');
  const leader = await Peer.joined(server, board, me);
  const other = await Peer.joined(server, elsewhere, await server.visit(elsewhere, 'lead'));
  leader.edit('lead', (doc) => writePasses(doc, 7));
  await leader.settled();
  vi.spyOn(LiveDocuments.prototype, 'edit').mockImplementationOnce(() => {
    throw new TypeError('planted by the test');
  });
  onTestFinished(() => {
    vi.restoreAllMocks();
  });
  leader.edit('lead', (doc) => writePasses(doc, 9));
  await eventually(() => leader.closed?.code === CLOSE.notKept, 'the board is given up');
  expect(leader.refusals.map(({ code }) => code)).toEqual(['not-kept']);
  expect(reports).toEqual([expect.stringContaining(`wrong on board ${board.id}`)]);
  other.edit('lead', (doc) => writePasses(doc, 5));
  await other.settled();
  expect(other.closed).toBeUndefined();
  const again = await Peer.joined(server, board, me);
  expect(again.sees?.passes).toBe(7);
  again.edit('lead', (doc) => writePasses(doc, 9));
  await again.settled();
  expect((await server.host.readBoard(board.id))?.passes).toBe(9);
});
