import { mkdirSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import type { BackupAnswer } from '../../server/host';
import { SqliteStore } from '../../server/store/sqlite';
import { saidBy } from '../../shared/board/roles';
import { writeName } from '../../shared/board/write';
import { Peer } from '../kit/peers';
import { startTestServer, testFolder } from '../kit/server';
import { testConfig } from '../kit/server-config';

const TOKEN = 'a token of the operator for tests';

async function operated() {
  const config = { ...testConfig(testFolder()), backupToken: TOKEN };
  const server = await startTestServer({ config });
  const board = await server.create();
  const me = await server.visit(board, 'join');
  return { server, board, me, peer: await Peer.joined(server, board, me) };
}

async function bytesOf(answer: BackupAnswer): Promise<Uint8Array> {
  if (!answer.ok) throw new Error(answer.words);
  const bytes = new Uint8Array(await new Response(answer.body).arrayBuffer());
  expect(bytes.length).toBe(answer.bytes);
  return bytes;
}

test('a copy that is taken while people edit holds what anybody had seen, and a server starts from it', async () => {
  const { server, board, me, peer } = await operated();
  const rename = (turn: number) =>
    peer.edit(saidBy(me.participant), (doc) => writeName(doc, `Ash ${turn}`));
  for (let turn = 0; turn < 50; turn += 1) rename(turn);
  await peer.settled();
  rename(50);
  const taking = server.host.backup(`Bearer ${TOKEN}`);
  for (let turn = 51; turn < 80; turn += 1) rename(turn);
  const bytes = await bytesOf(await taking);
  await peer.settled();
  const folder = testFolder();
  writeFileSync(join(folder, 'passround.sqlite'), bytes);
  const restored = await startTestServer({ config: testConfig(folder) });
  const witness = await Peer.joined(restored, board, me);
  await witness.settled();
  const name = witness.sees?.people.find(({ id }) => id === me.participant)?.name ?? '';
  expect(Number(name.replace('Ash ', ''))).toBeGreaterThanOrEqual(49);
  expect(witness.sees?.leftOut).toEqual([]);
  expect(await restored.host.openLink(board.secrets.join, undefined)).toMatchObject({
    role: 'join',
  });
  witness.edit(saidBy(me.participant), (doc) => writeName(doc, 'Ash after'));
  await witness.settled();
});

test.each([
  ['nothing', undefined, 401],
  ['another token', `Bearer ${TOKEN}x`, 401],
  ['the token without its scheme', TOKEN, 401],
  ['an empty token', 'Bearer ', 401],
])('whoever shows %s gets no copy', async (_, shown, status) => {
  const { server } = await operated();
  expect(await server.host.backup(shown)).toMatchObject({ ok: false, status });
});

test('without a token in the settings nobody gets a copy', async () => {
  const server = await startTestServer();
  for (const shown of [undefined, 'Bearer ', 'Bearer undefined'])
    expect(await server.host.backup(shown)).toMatchObject({ ok: false, status: 404 });
});

test('copies are taken one at a time, and leave nothing in the folder, also one that is broken off', async () => {
  const { server } = await operated();
  const copies = () =>
    readdirSync(server.config.dataDir).filter((name) => name.startsWith('backup-'));
  writeFileSync(join(server.config.dataDir, 'backup-00112233445566ff.sqlite'), 'x');
  const first = await server.host.backup(`Bearer ${TOKEN}`);
  expect(copies()).toHaveLength(1);
  expect(await server.host.backup(`Bearer ${TOKEN}`)).toMatchObject({ ok: false, status: 429 });
  if (!first.ok) throw new Error(first.words);
  await first.body.cancel();
  await expect.poll(copies).toEqual([]);
  await bytesOf(await server.host.backup(`Bearer ${TOKEN}`));
  await expect.poll(copies).toEqual([]);
});

test('a copy that cannot be made is an error, and the next one is tried again', async () => {
  const config = { ...testConfig(testFolder()), backupToken: TOKEN };
  const store = new SqliteStore(config.dataDir);
  await expect(store.copyTo(join(config.dataDir, 'no', 'such', 'folder'))).rejects.toThrow(
    'cannot be copied',
  );
  const server = await startTestServer({ config, store });
  await bytesOf(await server.host.backup(`Bearer ${TOKEN}`));
});

test('what a killed server left of a copy is gone when one starts, and nothing of the operator is', async () => {
  const config = testConfig(testFolder());
  const left = ['backup-0123456789abcdef.sqlite', 'backup-0123456789abcdef.sqlite-wal'];
  const own = ['backup-monday.sqlite', 'copy-of-it.sqlite', 'passround-copy-monday.sqlite'];
  for (const name of [...left, ...own]) writeFileSync(join(config.dataDir, name), 'Zinnober');
  mkdirSync(join(config.dataDir, 'passround-copy-aB3dE6'));
  writeFileSync(join(config.dataDir, 'passround-copy-aB3dE6', 'passround.sqlite'), 'Zinnober');
  await startTestServer({ config });
  const there = readdirSync(config.dataDir).filter((name) => !name.startsWith('passround.'));
  expect(there.filter((name) => /copy|backup/.test(name))).toEqual(own.toSorted());
});
