import { execFileSync } from 'node:child_process';
import { once } from 'node:events';
import {
  appendFileSync,
  cpSync,
  readFileSync,
  statSync,
  truncateSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import * as Y from 'yjs';
import { SqliteStore } from '../../server/store/sqlite';
import { saidBy } from '../../shared/board/roles';
import { writeName, writePasses } from '../../shared/board/write';
import { liftLimit, startChild } from '../kit/child';
import { Peer } from '../kit/peers';
import type { TestBoard, Visitor } from '../kit/server';
import { startTestServer, testFolder } from '../kit/server';
import { testConfig } from '../kit/server-config';
import { SlowStore } from '../kit/stores';

/** Are processes bounded here as the test needs it? */
const bounds = (() => {
  try {
    execFileSync('prlimit', ['--version']);
    return true;
  } catch (error) {
    if (error instanceof Error) return false;
    throw error;
  }
})();

async function prepared(folder: string) {
  const server = await startTestServer({ config: testConfig(folder) });
  const board = await server.create();
  const leader = await server.visit(board, 'lead');
  const watcher = await server.visit(board, 'watch');
  await server.stop();
  return { board, leader, watcher };
}

async function join2(port: number, board: TestBoard, visitor: Visitor): Promise<Peer> {
  const peer = await Peer.open({ port }, board, visitor);
  await peer.fetch('lead');
  await peer.settled();
  return peer;
}

test.skipIf(!bounds)(
  'on a full disk the server says so, keeps nothing that it cannot keep, and goes on by itself when there is room',
  async () => {
    const folder = testFolder();
    const { board, leader, watcher } = await prepared(folder);
    const full = await startChild(folder, { largestFile: 400_000 });
    let said = '';
    full.child.stderr?.on('data', (chunk: Buffer) => {
      said += chunk.toString();
    });
    const writer = await join2(full.port, board, leader);
    const witness = await join2(full.port, board, watcher);
    const name = saidBy(leader.participant);
    for (let turn = 0; turn < 200 && !writer.closed; turn += 1) {
      writer.edit(name, (doc) => doc.getMap('me').set('x', `${turn}`.padEnd(10_000, 'x')));
      await writer.settled().catch(() => undefined);
    }
    await witness.until(() => witness.closed !== undefined);
    expect([writer.closed?.code, witness.closed?.code]).toEqual([4500, 4500]);
    expect(witness.refusals.map(({ code }) => code)).toEqual(['not-kept']);
    expect(said).toContain(`Changes of board ${board.id} could not be kept.`);
    const seen = Y.encodeStateVector(witness.family.open(name));
    const still = await join2(full.port, board, watcher);
    expect(Y.encodeStateVector(still.family.open(name))).toEqual(seen);
    liftLimit(full);
    const again = await join2(full.port, board, leader);
    again.edit(name, (doc) => writeName(doc, 'There is room again'));
    await still.until(
      () => still.sees?.people.some((person) => person.name === 'There is room again') ?? false,
    );
  },
  60_000,
);

test('a board that cannot be kept is told in words and leaves nothing behind', async () => {
  const config = testConfig(testFolder());
  const store = new SlowStore(new SqliteStore(config.dataDir));
  const server = await startTestServer({ config, store });
  store.failWhen((what) => what === 'create');
  const made = await server.ask({ tune: { demo: true } });
  expect(made).toMatchObject({ ok: false, problems: [{ code: 'not-kept' }] });
  expect(server.host.health().boards).toBe(0);
  store.failWhen(() => false);
  expect(await server.ask({ tune: { demo: true } })).toMatchObject({ ok: true });
  expect(await store.countBoards()).toBe(1);
});

test('with a disk that fails at random, whatever anybody saw is there when it is mended', async () => {
  const config = testConfig(testFolder());
  const store = new SlowStore(new SqliteStore(config.dataDir));
  const server = await startTestServer({ config, store });
  let faults = 0;
  await fc.assert(
    fc.asyncProperty(fc.infiniteStream(fc.nat(9)), async (stream) => {
      const board = await server.create();
      const leader = await server.visit(board, 'lead');
      const watcher = await server.visit(board, 'watch');
      const seen = new Map<string, Uint8Array>();
      store.failWhen(() => {
        const fails = stream.next().value === 0;
        if (fails) faults += 1;
        return fails;
      });
      for (let turn = 0; turn < 25; turn += 1) {
        // A board that cannot be loaded is refused with 503; people then try again.
        const writer = await join2(server.port, board, leader).catch(() => undefined);
        const witness = await join2(server.port, board, watcher).catch(() => undefined);
        for (let edit = 0; edit < 3; edit += 1)
          writer?.edit('lead', (doc) => writePasses(doc, 2 + ((turn + edit) % 17)));
        await writer?.settled().catch(() => undefined);
        await witness?.settled().catch(() => undefined);
        if (witness) seen.set(`${turn}`, Y.encodeStateAsUpdate(witness.family.lead));
        writer?.socket.terminate();
        witness?.socket.terminate();
      }
      store.failWhen(() => false);
      const after = await join2(server.port, board, watcher);
      const kept = Y.encodeStateVector(after.family.lead);
      for (const state of seen.values())
        expect([...Y.decodeStateVector(Y.encodeStateVectorFromUpdate(state))]).toEqual(
          [...Y.decodeStateVector(Y.encodeStateVectorFromUpdate(state))].filter(
            ([client, clock]) => (Y.decodeStateVector(kept).get(client) ?? 0) >= clock,
          ),
        );
      expect(after.sees?.leftOut).toEqual([]);
      await after.leave();
    }),
    { seed: 3, numRuns: 6 },
  );
  expect(faults).toBeGreaterThan(20);
}, 60_000);

/** What may become of the end of a file that was being written when the power went. */
const TEARS = [
  ['a torn end', (path: string) => truncateSync(path, statSync(path).size - 10)],
  [
    'an end of rubbish',
    (path: string) => {
      const bytes = readFileSync(path);
      bytes.fill(0x5a, bytes.length - 15);
      writeFileSync(path, bytes);
    },
  ],
  ['half a page after the end', (path: string) => appendFileSync(path, Buffer.alloc(1700, 7))],
] as const;

/** What a process that had been killed by then would have left: the last edit small or large, and the file that it was written to. */
const LAST = {
  journal: { file: 'passround.journal', size: 20 },
  database: { file: 'passround.sqlite-wal', size: 80_000 },
} as const;

test.each(
  (['journal', 'database'] as const).flatMap((into) =>
    TEARS.map(([what, tear]) => [what, into, tear] as const),
  ),
)(
  '%s of the %s that was being written when the power went: all before it is there',
  async (_, into, tear) => {
    const folder = testFolder();
    const { board, leader, watcher } = await prepared(folder);
    const child = await startChild(folder);
    const writer = await join2(child.port, board, leader);
    writer.edit('lead', (doc) => writePasses(doc, 9));
    await writer.settled();
    // What nobody is told of: it may be torn.
    const { file, size } = LAST[into];
    writer.edit(saidBy(leader.participant), (doc) =>
      doc.getMap('me').set('x', 'torn'.padEnd(size)),
    );
    await writer.settled();
    const dead = once(child.child, 'exit');
    child.child.kill('SIGKILL');
    await dead;
    tear(join(folder, file));
    // A copy, since the server that prepared the folder in this process may still have its file open.
    const copy = testFolder();
    cpSync(folder, copy, { recursive: true });
    const again = await startTestServer({ config: testConfig(copy) });
    const witness = await Peer.joined(again, board, watcher);
    expect(witness.sees?.passes).toBe(9);
    expect(witness.sees?.leftOut).toEqual([]);
  },
);

test('a clock that is set back loses nothing and lets nobody go', async () => {
  let now = 1_700_000_000_000;
  const server = await startTestServer({ now: () => now });
  const board = await server.create();
  const leader = await Peer.joined(server, board, await server.visit(board, 'lead'));
  for (const passes of [3, 4, 5, 6]) {
    now -= 3_600_000;
    leader.edit('lead', (doc) => writePasses(doc, passes));
    await leader.settled();
  }
  expect(leader.closed).toBeUndefined();
  expect((await server.host.readBoard(board.id))?.passes).toBe(6);
});
