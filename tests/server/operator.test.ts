import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test, vi } from 'vitest';
import type { BoardId } from '../../lib/units';
import { reportAsJson, reportOnStderr } from '../../server/failure';
import { CLOSE } from '../../server/limits';
import { newBoardId } from '../../server/links';
import { Company } from '../../server/rooms/company';
import { SqliteStore } from '../../server/store/sqlite';
import { StoreError } from '../../server/store/store';
import { saidBy } from '../../shared/board/roles';
import { writeName } from '../../shared/board/write';
import { wordFrame } from '../../shared/wire/frame';
import { Peer } from '../kit/peers';
import { eventually } from '../kit/provider';
import type { TestBoard, TestServer } from '../kit/server';
import { startTestServer, testFolder } from '../kit/server';
import { testConfig } from '../kit/server-config';

const TOKEN = 'a token of the operator for tests';
const OPERATOR = `Bearer ${TOKEN}`;

/** A board that somebody has open who wrote this name, and whose vote was closed once, so that the past holds it, too. */
async function boardWith(server: TestServer, name: string) {
  const board = await server.create();
  const me = await server.visit(board, 'join');
  const leader = await Peer.joined(server, board, await server.visit(board, 'lead'));
  const peer = await Peer.joined(server, board, me);
  peer.edit(saidBy(me.participant), (doc) => writeName(doc, name));
  await peer.settled();
  leader.edit('lead', (doc) => doc.getMap('choice').set('voting', 'agreed'));
  await leader.settled();
  return { board, me, peer, leader };
}

function operated(): Promise<TestServer> {
  return startTestServer({ config: { ...testConfig(testFolder()), backupToken: TOKEN } });
}

async function isUnhurt(server: TestServer, board: TestBoard, peer: Peer): Promise<void> {
  await peer.settled();
  expect(peer.refusals).toEqual([]);
  expect(await server.host.readBoard(board.id)).toBeDefined();
  expect(server.host.health().boards).toBe(1);
}

test('[R26] the operator deletes one board: who has it open is told, and nothing of it is left in any file of the server while it runs', async () => {
  const server = await operated();
  const doomed = await boardWith(server, 'Zinnober goes');
  const other = await boardWith(server, 'Zinnober stays');
  const { id, secrets } = doomed.board;
  doomed.peer.send(wordFrame({ kind: 'ask-code' }));
  const codeOf = () => doomed.peer.words.find((word) => word.kind === 'code');
  await doomed.peer.until(() => codeOf() !== undefined);
  const { dataDir } = server.config;
  const found = (text: string) =>
    readdirSync(dataDir).some((file) => readFileSync(join(dataDir, file)).includes(text));
  expect([found('Zinnober goes'), found('Zinnober stays')]).toEqual([true, true]);
  expect(await server.host.deleteBoard(id, OPERATOR, '192.0.2.7')).toEqual({ ok: true });
  for (const peer of [doomed.peer, doomed.leader]) {
    await peer.until(() => peer.closed !== undefined);
    expect(peer.closed?.code).toBe(CLOSE.deleted);
    expect(peer.refusals.map(({ code }) => code)).toEqual(['deleted']);
  }
  expect([found('Zinnober goes'), found(id), found('Zinnober stays')]).toEqual([
    false,
    false,
    true,
  ]);
  expect(await server.host.readBoard(id)).toBeUndefined();
  expect(await server.host.openLink(secrets.lead, undefined)).toBeUndefined();
  expect(await server.host.openCode(id, codeOf()?.code ?? '', undefined)).toMatchObject({
    ok: false,
    problems: [{ code: 'unknown' }],
  });
  await eventually(() => server.host.health().sockets === 2, 'their sockets are closed');
  expect(server.host.health()).toMatchObject({ boards: 1, rooms: 1 });
  expect(server.host.metrics()).toContain('\npassround_boards 1\n');
  await other.peer.settled();
  expect(other.peer.refusals).toEqual([]);
  expect(server.reports).toEqual([`Board ${id} was deleted by the operator, from 192.0.2.7.`]);
  await server.stop();
  expect([found('Zinnober goes'), found(id)]).toEqual([false, false]);
});

test('of two who delete a board at once one does, and it is counted once', async () => {
  const server = await operated();
  const [board] = [await server.create(), await server.create()];
  const answers = await Promise.all([1, 2].map(() => server.host.deleteBoard(board.id, OPERATOR)));
  expect(answers).toMatchObject([{ ok: true }, { ok: false, status: 404 }]);
  expect(server.host.health().boards).toBe(1);
});

test.each([
  ['nothing', undefined, 401],
  ['another token', `${OPERATOR}x`, 401],
  ['the token without its scheme', TOKEN, 401],
  ['an empty token', 'Bearer ', 401],
])(
  'whoever shows %s deletes no board, and does not learn whether there is one',
  async (_, shown, status) => {
    const server = await operated();
    const { board, peer } = await boardWith(server, 'Zinnober');
    for (const id of [board.id, newBoardId()])
      expect(await server.host.deleteBoard(id, shown)).toEqual({
        ok: false,
        status,
        words: 'Show the BACKUP_TOKEN.',
      });
    await isUnhurt(server, board, peer);
  },
);

test('without a token in the settings nobody deletes a board', async () => {
  const server = await startTestServer();
  const { board, peer } = await boardWith(server, 'Zinnober');
  for (const shown of [undefined, 'Bearer ', 'Bearer undefined'])
    expect(await server.host.deleteBoard(board.id, shown)).toMatchObject({ status: 404 });
  await isUnhurt(server, board, peer);
});

test('a board that is not there cannot be deleted, and nothing is', async () => {
  const server = await operated();
  const { board, peer } = await boardWith(server, 'Zinnober');
  for (const id of [newBoardId(), '', '%', '../../etc', `${board.id} `, `${board.id}' OR '1'='1`])
    expect(await server.host.deleteBoard(id as BoardId, OPERATOR)).toMatchObject({ status: 404 });
  expect(server.reports).toEqual([]);
  await isUnhurt(server, board, peer);
});

test('a board that the disk does not let go stays as it is, nobody is told, and it is tried again', async () => {
  const config = { ...testConfig(testFolder()), backupToken: TOKEN };
  const store = new SqliteStore(config.dataDir);
  const server = await startTestServer({ config, store });
  const { board, peer } = await boardWith(server, 'Zinnober');
  vi.spyOn(store, 'remove').mockRejectedValueOnce(new StoreError('the disk is full'));
  expect(await server.host.deleteBoard(board.id, OPERATOR)).toMatchObject({
    ok: false,
    status: 503,
  });
  await isUnhurt(server, board, peer);
  expect(server.reports).toEqual([expect.stringContaining('could not be deleted')]);
  expect(await server.host.deleteBoard(board.id, OPERATOR)).toEqual({ ok: true });
});

test('[R11] a fault while a board is told that it was deleted ends its sockets and nothing else, and who comes back is told', async () => {
  const reports: string[] = [];
  const config = { ...testConfig(testFolder()), backupToken: TOKEN };
  const report = (words: string) => reports.push(words);
  const server = await startTestServer({ config, report, lingerMs: 60_000 });
  const { board, me, peer } = await boardWith(server, 'Zinnober');
  vi.spyOn(Company.prototype, 'endDeleted').mockImplementationOnce(() => {
    throw new TypeError('planted by the test');
  });
  expect(await server.host.deleteBoard(board.id, OPERATOR)).toEqual({ ok: true });
  await peer.until(() => peer.closed !== undefined);
  expect(peer.closed?.code).toBe(CLOSE.notKept);
  expect(reports.join()).toContain(`wrong on board ${board.id}`);
  const again = await Peer.open(server, board, me);
  await again.until(() => again.closed !== undefined);
  expect(again.closed?.code).toBe(CLOSE.deleted);
});

test('what was done as the operator asked is told apart from what went wrong', () => {
  const lines: string[] = [];
  const stderr = vi.spyOn(process.stderr, 'write').mockImplementation((line) => {
    lines.push(String(line));
    return true;
  });
  for (const report of [reportAsJson, reportOnStderr]) {
    report('Done.');
    report('Not done.', new Error('the disk is full'));
  }
  stderr.mockRestore();
  const parsed = lines.slice(0, 2).map((line): unknown => JSON.parse(line));
  const time = expect.stringMatching(/^\d{4}-.*Z$/);
  expect(parsed).toEqual([
    { time, level: 'info', message: 'Done.' },
    { time, level: 'error', message: 'Not done.', why: 'the disk is full' },
  ]);
  expect(lines.slice(2)).toEqual(['Done.\n', 'Not done. (the disk is full)\n']);
});
