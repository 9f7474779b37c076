import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, onTestFinished, test, vi } from 'vitest';
import * as Y from 'yjs';
import { LocalCodes } from '../../../server/codes';
import { COMPACT_AFTER } from '../../../server/limits';
import { SqliteStore } from '../../../server/store/sqlite';
import { DocumentFamily } from '../../../shared/board/documents';
import { goneFrom, writeCalled } from '../../../shared/board/leading';
import { saidBy } from '../../../shared/board/roles';
import { writeName } from '../../../shared/board/write';
import { MemoryHub } from '../../kit/memory-hub';
import { MemoryDatabase, MemoryStore } from '../../kit/memory-store';
import { startNode } from '../../kit/nodes';
import { act } from '../../kit/orders';
import { Peer } from '../../kit/peers';
import { eventually } from '../../kit/provider';
import { testFolder } from '../../kit/server';
import { testConfig } from '../../kit/server-config';
import { stage } from '../../kit/stage';

/** Something that waits until it is let go; `begun` says how often it was come to. */
function gate() {
  let open: () => void = () => undefined;
  const opened = new Promise<void>((done) => {
    open = done;
  });
  const held = {
    begun: 0,
    open: () => open(),
    pass: () => {
      held.begun += 1;
      return opened;
    },
  };
  return held;
}

test('[R17] who is removed while logs are being shortened is in neither the snapshot nor what leaders wrote, once both are done', async () => {
  const config = testConfig(testFolder());
  const store = new SqliteStore(config.dataDir);
  const it = await stage({ config, store });
  const { participant } = it.victim.me;
  it.leader.peer.edit('lead', (doc) => writeCalled(doc, participant, 'Quittenvogel'));
  await it.leader.peer.settled();
  const held = gate();
  const compact = store.compact.bind(store);
  vi.spyOn(store, 'compact').mockImplementationOnce(async (...all) => {
    await held.pass();
    return compact(...all);
  });
  for (let turn = 0; turn <= COMPACT_AFTER; turn += 1)
    it.victim.peer.edit(saidBy(participant), (doc) => writeName(doc, `Zinnobermeise ${turn}`));
  await eventually(() => held.begun > 0, 'the logs are being shortened');
  act(it.leader, { kind: 'remove-person', participant });
  await it.victim.peer.until(() => it.victim.peer.closed !== undefined);
  held.open();
  await it.leader.peer.settled();
  const isThere = (text: string) =>
    readdirSync(config.dataDir).some((file) =>
      readFileSync(join(config.dataDir, file)).includes(text),
    );
  for (const text of ['Zinnobermeise', 'Quittenvogel'])
    await eventually(() => !isThere(text), `${text} leaves the disk while the server goes on`);
  const documents = ((await store.load(it.board.id)) ?? []).map(({ document }) => document);
  expect(documents.filter((name) => name.endsWith(participant))).toEqual([]);
});

/** A leader on one node, and another node that hears nothing but what it reads for itself. */
async function twoNodes(storeOf: (database: MemoryDatabase) => MemoryStore) {
  const database = new MemoryDatabase();
  const start = (store: MemoryStore) =>
    startNode('postgres://in.memory/only', undefined, {
      store,
      fanout: () => new MemoryHub().line(),
      roundMs: 600_000,
    });
  const [one, two] = [await start(new MemoryStore(database)), await start(storeOf(database))];
  const board = await one.create();
  const leader = await Peer.joined(one, board, await one.visit(board, 'lead'));
  return { database, one, two, board, leader };
}

test('[R17] [R15] a node that shortens logs over a removal that it has not heard of brings nobody back', async () => {
  const held = gate();
  const { database, one, two, board, leader } = await twoNodes((shared) => {
    const store = new MemoryStore(shared);
    const compactNext = store.compactNext.bind(store);
    vi.spyOn(store, 'compactNext').mockImplementation(async (...all) => {
      await held.pass();
      return compactNext(...all);
    });
    return store;
  });
  const me = await one.visit(board, 'join');
  const student = await Peer.joined(one, board, me);
  for (const name of ['Ash', 'Elder', 'Linden'])
    student.edit(saidBy(me.participant), (doc) => writeName(doc, name));
  await student.settled();
  const watcher = await Peer.joined(two, board, await two.visit(board, 'watch'));
  await watcher.leave();
  await eventually(() => held.begun > 0, 'the other node is shortening');
  act({ peer: leader }, { kind: 'remove-person', participant: me.participant });
  await student.until(() => student.closed !== undefined);
  await leader.settled();
  held.open();
  await two.stop();
  const rows = database.boards.get(board.id)?.rows ?? [];
  expect(rows.filter(({ document }) => document.endsWith(me.participant))).toEqual([]);
  const family = new DocumentFamily();
  for (const { document, update } of rows) Y.applyUpdate(family.open(document), update);
  expect(goneFrom(family.house)).toEqual(new Set([me.participant]));
});

test('[R21] a code of somebody who is being removed on another node opens nothing here, also before it is forgotten and before this node has heard', async () => {
  const { one, two, board, leader } = await twoNodes((database) => new MemoryStore(database));
  const me = await one.visit(board, 'join');
  const student = await Peer.joined(two, board, me);
  student.edit(saidBy(me.participant), (doc) => writeName(doc, 'Ash'));
  await student.settled();
  act({ peer: student }, { kind: 'ask-code' });
  const told = () => student.words.find((word) => word.kind === 'code');
  await student.until(() => told() !== undefined);
  const word = told();
  const code = word?.kind === 'code' ? word.code : '';
  const held = gate();
  const forget = vi.spyOn(LocalCodes.prototype, 'forget').mockImplementation(() => held.pass());
  onTestFinished(() => forget.mockRestore());
  await one.host.readBoard(board.id);
  act({ peer: leader }, { kind: 'remove-person', participant: me.participant });
  await leader.settled();
  expect(held.begun).toBe(1);
  expect(student.closed).toBeUndefined();
  const second = await two.visit(board, 'lead');
  const used = await two.host.openCode(board.id, code, second.cookie);
  expect(used).toMatchObject({ ok: false });
  held.open();
});
