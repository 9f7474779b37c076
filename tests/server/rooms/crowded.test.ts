import { expect, test } from 'vitest';
import type { BoardId } from '../../../lib/units';
import {
  LEADER_PLACES,
  MAX_PEOPLE,
  MAX_SOCKETS_AN_ADDRESS_A_BOARD,
  NEWCOMERS_AN_HOUR,
} from '../../../server/limits';
import { newBoardId } from '../../../server/links';
import type { ServerOptions } from '../../../server/serve';
import { SqliteStore } from '../../../server/store/sqlite';
import { saidBy } from '../../../shared/board/roles';
import { writeName } from '../../../shared/board/write';
import { wordFrame } from '../../../shared/wire/frame';
import type { Pass } from '../../kit/peers';
import { Peer } from '../../kit/peers';
import { eventually } from '../../kit/provider';
import type { TestBoard, TestServer, Visitor } from '../../kit/server';
import { startTestServer, testFolder } from '../../kit/server';
import { testConfig } from '../../kit/server-config';
import { SlowStore } from '../../kit/stores';

/** A server behind a proxy, so that a test says where people come from. */
function behindProxy(options: Partial<ServerOptions> = {}): Promise<TestServer> {
  return startTestServer({ config: { ...testConfig(testFolder()), proxies: 1 }, ...options });
}

function from(
  address: string,
  server: TestServer,
  board: Pick<TestBoard, 'id'>,
  pass: Pass | undefined,
): Promise<Peer> {
  return Peer.open(server, board, pass, { 'x-forwarded-for': address });
}

/** Of many who try at once from one address, those who come in. */
async function allFrom(
  address: string,
  server: TestServer,
  board: TestBoard,
  passes: readonly Pass[],
): Promise<readonly Peer[]> {
  const tried = await Promise.allSettled(passes.map((pass) => from(address, server, board, pass)));
  return tried.flatMap((each) => (each.status === 'fulfilled' ? [each.value] : []));
}

const times = <T>(count: number, value: T): readonly T[] =>
  Array.from({ length: count }, () => value);

async function speak(peer: Peer, participant: Visitor['participant']): Promise<void> {
  peer.edit(saidBy(participant), (doc) => writeName(doc, 'Ash'));
  await peer.settled();
}

/** Fills all places of students with people who have said something. */
async function fill(server: TestServer, board: TestBoard): Promise<Visitor> {
  const there = (await server.host.readBoard(board.id))?.people.length ?? 0;
  const visitors = await Promise.all(
    times(MAX_PEOPLE - LEADER_PLACES - there, 0).map(() => server.visit(board, 'join')),
  );
  await Promise.all(
    visitors.map(async (me, at) => {
      const peer = await from(`192.0.2.${at % 200}`, server, board, me);
      await speak(peer, me.participant);
      await peer.leave();
    }),
  );
  const [first] = visitors;
  if (!first) throw new RangeError('nobody came');
  return first;
}

test('[R14] by the join link alone one address makes no more than half a board of people an hour, and others come in', async () => {
  let now = 1_000_000;
  const server = await behindProxy({ now: () => now });
  const board = await server.create();
  const strangers = times(NEWCOMERS_AN_HOUR + 30, { key: board.secrets.join });
  expect(await allFrom('192.0.2.1', server, board, strangers)).toHaveLength(NEWCOMERS_AN_HOUR);
  const student = await server.visit(board, 'join');
  await expect(from('192.0.2.1', server, board, student)).rejects.toThrow('429');
  await (await from('192.0.2.2', server, board, student)).settled();
  // Who was here is no newcomer, and neither are leaders and those who watch.
  await (await from('192.0.2.1', server, board, student)).settled();
  await (await from('192.0.2.1', server, board, await server.visit(board, 'lead'))).settled();
  await (await from('192.0.2.1', server, board, await server.visit(board, 'watch'))).settled();
  now += 3_600_001;
  await (await from('192.0.2.1', server, board, { key: board.secrets.join })).settled();
});

test('[R14] a class of forty behind one router comes in, three browsers each, and once more with all of them', async () => {
  const server = await behindProxy();
  const board = await server.create();
  const students = await Promise.all(times(120, 0).map(() => server.visit(board, 'join')));
  for (let page = 0; page < 2; page += 1)
    expect(await allFrom('2001:db8:1:2::1', server, board, students)).toHaveLength(120);
});

test('[R14] one address has half the sockets of a board at most, of an IPv6 site all addresses together, and its leaders come in', async () => {
  const server = await behindProxy();
  const board = await server.create();
  const lead = await server.visit(board, 'lead');
  const student = await server.visit(board, 'join');
  await (await from('192.0.2.1', server, board, student)).leave();
  const listeners = times(MAX_SOCKETS_AN_ADDRESS_A_BOARD + 20, { key: board.secrets.watch });
  const inside = await Promise.allSettled(
    listeners.map((pass, at) => from(`2001:db8:1:2::${at.toString(16)}`, server, board, pass)),
  );
  expect(inside.filter(({ status }) => status === 'fulfilled')).toHaveLength(
    MAX_SOCKETS_AN_ADDRESS_A_BOARD,
  );
  const inTheHall = '2001:db8:1:2:ffff::1';
  await expect(from(inTheHall, server, board, { key: board.secrets.watch })).rejects.toThrow('429');
  await (await from(inTheHall, server, board, lead)).settled();
  await (await from(inTheHall, server, board, lead)).settled();
  await (await from(inTheHall, server, board, student)).settled();
  // A second page of theirs is one of too many.
  await expect(from(inTheHall, server, board, student)).rejects.toThrow('429');
  await (await from('2001:db8:1:3::1', server, board, { key: board.secrets.watch })).settled();
});

test('[R14] strangers of many addresses fill a board, and who was in and its leaders come back all the same', async () => {
  const most = { aBoard: 20 };
  const server = await behindProxy({ most });
  const board = await server.create();
  const student = await server.visit(board, 'join');
  const lead = await server.visit(board, 'lead');
  for (const me of [student, lead]) await (await from('192.0.2.1', server, board, me)).leave();
  await eventually(() => server.host.health().sockets === 0, 'they have left');
  // The board is cold and all come at once: no more may slip in while it is loaded.
  const tried = await Promise.allSettled(
    times(60, 0).map((_, at) =>
      from(`198.51.100.${at}`, server, board, { key: board.secrets.join }),
    ),
  );
  expect(tried.filter(({ status }) => status === 'fulfilled')).toHaveLength(most.aBoard);
  await expect(from('192.0.2.1', server, board, await server.visit(board, 'join'))).rejects.toThrow(
    '429',
  );
  await (await from('192.0.2.1', server, board, student)).settled();
  await (await from('192.0.2.1', server, board, lead)).settled();
  await (await from('192.0.2.1', server, board, lead)).settled();
  await (await from('192.0.2.9', server, board, { key: board.secrets.lead })).settled();
});

test('[R14] a board full of people takes no more students, but still those it knows, leaders and those who watch', async () => {
  const server = await behindProxy();
  const board = await server.create();
  const known = await fill(server, board);
  await expect(from('192.0.2.1', server, board, await server.visit(board, 'join'))).rejects.toThrow(
    '403',
  );
  await (await from('192.0.2.1', server, board, known)).settled();
  await (await from('192.0.2.1', server, board, await server.visit(board, 'watch'))).settled();
  for (let leader = 0; leader < LEADER_PLACES; leader += 1)
    await (await from('192.0.2.1', server, board, await server.visit(board, 'lead'))).settled();
  expect((await server.host.readBoard(board.id))?.people).toHaveLength(MAX_PEOPLE);
  await expect(from('192.0.2.1', server, board, await server.visit(board, 'lead'))).rejects.toThrow(
    '403',
  );
});

test('[R8] who came, said nothing and went makes room where there is none; who is here, or has said something, stays', async () => {
  const server = await behindProxy();
  const board = await server.create();
  const before = new Set((await server.host.readBoard(board.id))?.people.map(({ id }) => id));
  const [silentHere, wordy] = [
    await server.visit(board, 'join'),
    await server.visit(board, 'join'),
  ];
  const here = await from('192.0.2.200', server, board, silentHere);
  const spoken = await from('192.0.2.200', server, board, wordy);
  await speak(spoken, wordy.participant);
  await spoken.leave();
  for (let at = 2; at < MAX_PEOPLE - LEADER_PLACES - before.size; at += 1)
    await (
      await from(`192.0.2.${at % 100}`, server, board, await server.visit(board, 'join'))
    ).leave();
  await here.settled();
  const people = async () => (await server.host.readBoard(board.id))?.people.map(({ id }) => id);
  expect(await people()).toHaveLength(MAX_PEOPLE - LEADER_PLACES);
  const newcomer = await server.visit(board, 'join');
  await (await from('192.0.2.201', server, board, newcomer)).settled();
  const staying = [silentHere, wordy, newcomer].map(({ participant }) => participant);
  expect(new Set(await people())).toEqual(new Set([...before, ...staying]));
});

test('[R14] people who came by a link alone take places when they speak, and no more than there are', async () => {
  const server = await behindProxy();
  const board = await server.create();
  const strangers = await allFrom(
    '192.0.2.1',
    server,
    board,
    times(3, { key: board.secrets.join }),
  );
  await fill(server, board);
  for (const peer of strangers) {
    await peer.settled();
    const [word] = peer.words;
    if (word?.kind !== 'welcome') throw new Error('no welcome');
    await speak(peer, word.participant);
    expect(peer.refusals.map(({ code }) => code)).toEqual(['too-large']);
  }
  expect((await server.host.readBoard(board.id))?.people).toHaveLength(MAX_PEOPLE - LEADER_PLACES);
});

test('[R1] who may not see a board, or asks for one that is not there, has nothing loaded from the disk', async () => {
  const config = { ...testConfig(testFolder()), proxies: 1 };
  const store = new SlowStore(new SqliteStore(config.dataDir));
  const loaded: string[] = [];
  store.failWhen((what) => {
    loaded.push(what);
    return false;
  });
  const server = await startTestServer({ config, store, most: { anAddress: 1, aPerson: 1 } });
  const [board, other] = [await server.create(), await server.create()];
  const me = await server.visit(board, 'join');
  loaded.length = 0;
  const strangers: readonly (Pass | undefined)[] = [
    undefined,
    { key: other.secrets.lead },
    { key: 'a'.repeat(32) },
    { cookie: me.cookie.replace('.join.', '.lead.') },
  ];
  for (const id of [board.id, newBoardId(), '../../etc/passwd' as BoardId])
    for (const pass of strangers)
      await expect(from('192.0.2.1', server, { id }, pass)).rejects.toThrow(/401|40[03]|hang up/);
  expect(loaded).toEqual([]);
  expect(server.host.health()).toMatchObject({ rooms: 0, sockets: 0 });
  // Nor has who may, where their person or their network has too much already.
  await (await from('192.0.2.1', server, board, me)).settled();
  loaded.length = 0;
  const there = await server.visit(other, 'join');
  await expect(from('192.0.2.1', server, other, there)).rejects.toThrow('429');
  expect(loaded).toEqual([]);
});

test('[R14] who led a board before comes in where their network has all the sockets that it may, and nobody else does', async () => {
  const most = { anAddress: 10, aPerson: 3, leadersBeyond: 5 };
  const server = await behindProxy({ most });
  const [board, crowd] = [await server.create(), await server.create()];
  const [lead, second, student] = [
    await server.visit(board, 'lead'),
    await server.visit(board, 'lead'),
    await server.visit(board, 'join'),
  ];
  const ownLeader = await server.visit(crowd, 'lead');
  for (const me of [lead, second, student])
    await (await from('192.0.2.1', server, board, me)).leave();
  await (await from('192.0.2.1', server, crowd, ownLeader)).leave();
  await eventually(() => server.host.health().sockets === 0, 'they have left');
  const strangers = times(30, { key: crowd.secrets.join });
  expect(await allFrom('192.0.2.1', server, crowd, strangers)).toHaveLength(most.anAddress);
  // Whoever leads boards of their own, or makes cookies by a leader's link, has no more room for it.
  const own = await allFrom('192.0.2.1', server, crowd, times(20, ownLeader));
  expect(own).toHaveLength(most.aPerson);
  const refused: readonly (readonly [string, Pass])[] = [
    ['a student', student],
    ['the link of leaders alone', { key: board.secrets.lead }],
    ['a leader who was never there', await server.visit(board, 'lead')],
    ['a made up cookie', { cookie: student.cookie.replace('.join.', '.lead.') }],
    ['a leader of another board', ownLeader],
    ['somebody without anything', { cookie: '' }],
  ];
  for (const [who, pass] of refused)
    await expect(from('192.0.2.1', server, board, pass), who).rejects.toThrow('429');
  const mine = await allFrom('192.0.2.1', server, board, times(20, lead));
  expect(mine).toHaveLength(most.aPerson);
  await Promise.all(mine.map((peer) => peer.settled()));
  // Beyond the limit there is an end, and it moves when somebody leaves.
  expect(await allFrom('192.0.2.1', server, board, times(20, second))).toHaveLength(
    most.leadersBeyond - most.aPerson,
  );
  await expect(from('192.0.2.1', server, board, second)).rejects.toThrow('429');
  await mine[0]?.leave();
  await eventually(
    () => server.host.health().sockets === most.anAddress + most.aPerson + most.leadersBeyond - 1,
    'one has left',
  );
  await (await from('192.0.2.1', server, board, second)).settled();
  await (await from('192.0.2.2', server, board, student)).settled();
});

test('[R14] who is sent away does not come in beyond the limit of their network, and nothing is loaded for who does not lead', async () => {
  const config = { ...testConfig(testFolder()), proxies: 1 };
  const store = new SlowStore(new SqliteStore(config.dataDir));
  const server = await startTestServer({ config, store, most: { anAddress: 1 } });
  const [board, crowd] = [await server.create(), await server.create()];
  const [lead, gone] = [await server.visit(board, 'lead'), await server.visit(board, 'lead')];
  const leader = await from('192.0.2.2', server, board, lead);
  await (await from('192.0.2.1', server, board, gone)).leave();
  await leader.settled();
  leader.send(wordFrame({ kind: 'remove-person', participant: gone.participant }));
  const isGone = async () => (await server.host.whoIsGone(board.id, gone.cookie)) !== undefined;
  await eventually(isGone, 'they are taken out');
  await leader.leave();
  await eventually(() => server.host.health().rooms === 0, 'the board is closed');
  await (await from('192.0.2.1', server, crowd, { key: crowd.secrets.join })).settled();
  const loaded: string[] = [];
  store.failWhen((what) => {
    loaded.push(what);
    return false;
  });
  const student = await server.visit(board, 'join', '');
  loaded.length = 0;
  for (const pass of [student, { key: board.secrets.lead }])
    await expect(from('192.0.2.1', server, board, pass)).rejects.toThrow('429');
  expect(loaded).toEqual([]);
  await expect(from('192.0.2.1', server, board, gone)).rejects.toThrow('429');
  expect(loaded).not.toEqual([]);
  await (await from('192.0.2.1', server, board, lead)).settled();
});
