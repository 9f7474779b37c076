import { expect, test } from 'vitest';
import type * as Y from 'yjs';
import type { BoardId } from '../../../lib/units';
import { CLOSE } from '../../../server/limits';
import { newBoardId, sessionCookie } from '../../../server/links';
import { ROLES, saidBy } from '../../../shared/board/roles';
import { syncFrame } from '../../../shared/wire/frame';
import { SYNC } from '../../../shared/wire/kind';
import type { Pass } from '../../kit/peers';
import { Peer } from '../../kit/peers';
import { eventually } from '../../kit/provider';
import type { TestBoard, TestServer, Visitor } from '../../kit/server';
import { startTestServer } from '../../kit/server';

interface Scene {
  readonly server: TestServer;
  readonly board: TestBoard;
  readonly other: TestBoard;
  readonly me: Visitor;
}

async function scene(): Promise<Scene> {
  const server = await startTestServer();
  const board = await server.create();
  return { server, board, other: await server.create(), me: await server.visit(board, 'join') };
}

/** A cookie for a board by this key, of a link that no board has. */
function signedBy(key: string, board: BoardId, { participant, role }: Visitor): string {
  const mark = 'ab12ab12ab12';
  return sessionCookie(key, board, { participant, role, mark }, false).split(';')[0] ?? '';
}

const ours = (value: string, { board }: Scene): Pass => ({
  cookie: `passround_${board.id}=${value}`,
});

test.each<
  readonly [string, number, (scene: Scene) => Promise<Pass | undefined> | Pass | undefined]
>([
  ['nothing to show', 401, () => undefined],
  ['the cookie of another board', 401, async ({ server, other }) => server.visit(other, 'lead')],
  [
    'the cookie of another board under the name of this one',
    401,
    async (it) => {
      const { cookie } = await it.server.visit(it.other, 'lead');
      return ours(cookie.slice(cookie.indexOf('=') + 1), it);
    },
  ],
  [
    'a cookie with a higher role written into it',
    401,
    (it) => ({ cookie: it.me.cookie.replace('.join.', '.lead.') }),
  ],
  [
    'a cookie with another name written into it',
    401,
    (it) => ({ cookie: it.me.cookie.replace(it.me.participant, 'abcdefghijkl') }),
  ],
  ['a cookie without a signature', 401, (it) => ours(`${it.me.participant}.join`, it)],
  ['a cookie with an empty signature', 401, (it) => ours(`${it.me.participant}.join.`, it)],
  ['a cookie that is no text of ours', 401, (it) => ours('%00..;', it)],
  [
    'a cookie that another secret signed',
    401,
    ({ board, me }) => ({
      cookie: signedBy('some other secret', board.id, me),
    }),
  ],
  ['the secret of another board', 401, ({ other }) => ({ key: other.secrets.lead })],
  ['a secret that nobody has', 401, () => ({ key: 'a'.repeat(32) })],
  ['an empty secret', 401, () => ({ key: '' })],
])('[R1] no socket opens for %s: %i', async (_, status, passOf) => {
  const it = await scene();
  const pass = await passOf(it);
  await expect(Peer.open(it.server, it.board, pass)).rejects.toThrow(`${status}`);
  expect(it.server.host.health()).toMatchObject({ rooms: 0, sockets: 0 });
});

test.each(ROLES)(
  '[R26] who comes with a genuine cookie to %s on a board that is not there is told so, and finds no room',
  async (role) => {
    const { server, me } = await scene();
    const id = newBoardId();
    const cookie = signedBy(server.config.secret, id, { ...me, role });
    const peer = await Peer.open(server, { id }, { cookie });
    await peer.until(() => peer.closed !== undefined);
    expect(peer.closed?.code).toBe(CLOSE.deleted);
    expect(peer.frames.map(({ kind }) => kind)).toEqual(['word']);
    expect(peer.refusals.map(({ code }) => code)).toEqual(['deleted']);
    expect(server.host.health()).toMatchObject({ rooms: 0, sockets: 0 });
  },
);

test.each([
  ['no page is named', {}, 'opens'],
  ['the page is our own', { origin: 'http://127.0.0.1:PORT' }, 'opens'],
  ['the page is another site', { origin: 'http://elsewhere.example' }, '403'],
  ['the page is our machine on another port', { origin: 'http://127.0.0.1:1' }, '403'],
  ['the page is a file', { origin: 'null' }, '403'],
])('[R1] where %s, the socket %s', async (_, headers, outcome) => {
  const { server, board, me } = await scene();
  const named = Object.fromEntries(
    Object.entries(headers).map(([name, value]) => [name, value.replace('PORT', `${server.port}`)]),
  );
  const opening = Peer.open(server, board, me, named);
  if (outcome === 'opens') await (await opening).settled();
  else await expect(opening).rejects.toThrow(outcome);
});

test('[R1] a cookie is the same person on every socket, a secret alone somebody new', async () => {
  const { server, board, me } = await scene();
  const names: string[] = [];
  for (const pass of [me, me, { key: board.secrets.join }, { key: board.secrets.join }]) {
    const peer = await Peer.open(server, board, pass);
    await peer.settled();
    const [word] = peer.words;
    names.push(word?.kind === 'welcome' ? word.participant : '');
  }
  expect(names.slice(0, 2)).toEqual([me.participant, me.participant]);
  expect(new Set(names).size).toBe(3);
});

test('[R1] a secret beside a cookie raises the role of that person', async () => {
  const { server, board, me } = await scene();
  const peer = await Peer.open(server, board, { key: board.secrets.lead }, { cookie: me.cookie });
  await peer.settled();
  expect(peer.words[0]).toMatchObject({ participant: me.participant, role: 'lead' });
});

test('[R14] somebody who does not stop asking is let go', async () => {
  const { server, board, me } = await scene();
  const peer = await Peer.open(server, board, me);
  for (let count = 0; count < 4000; count += 1) peer.send(new Uint8Array([3]));
  await peer.until(() => peer.closed !== undefined);
  expect(peer.closed?.code).toBe(4429);
  expect(peer.refusals.at(-1)?.code).toBe('too-busy');
});

test('[R14] who asks for a full document over and over is closed after a few, and others are served meanwhile', async () => {
  const { server, board } = await scene();
  const me = await server.visit(board, 'join');
  const name = saidBy(me.participant);
  const peer = await Peer.joined(server, board, me);
  for (let part = 0; part < 5; part += 1) {
    peer.edit(name, (doc) => doc.getMap('me').set(`${part}`, 'x'.repeat(200_000)));
    await peer.settled();
  }
  const before = peer.frames.length;
  for (let times = 0; times < 1000; times += 1)
    peer.send(syncFrame(name, SYNC.step1, new Uint8Array([0])));
  await peer.until(() => peer.closed !== undefined);
  expect(peer.closed?.code).toBe(4429);
  // A million bytes are 250 messages' worth, and 2000 are free at once.
  expect(peer.frames.length - before).toBeLessThan(20);
  expect(peer.frames.length - before).toBeGreaterThan(2);
  await (await Peer.joined(server, board, await server.visit(board, 'watch'))).settled();
});

test('[R14] what a newcomer to a board of full documents is sent unasked counts for nothing', async () => {
  const { server, board } = await scene();
  const before = (await server.host.readBoard(board.id))?.people.length ?? 0;
  for (let person = 0; person < 6; person += 1) {
    const me = await server.visit(board, 'join');
    const writer = await Peer.joined(server, board, me);
    for (let part = 0; part < 8; part += 1) {
      const change = (doc: Y.Doc) => doc.getMap('me').set(`${part}`, 'x'.repeat(240_000));
      writer.edit(saidBy(me.participant), change);
      await writer.settled();
    }
    expect(writer.refusals).toEqual([]);
    await writer.leave();
  }
  const newcomer = await Peer.joined(server, board, await server.visit(board, 'join'));
  await newcomer.settled();
  expect(newcomer.sees?.people.length).toBe(before + 7);
  for (let count = 0; count < 1500; count += 1) newcomer.send(new Uint8Array([3]));
  await newcomer.settled();
  expect(newcomer.closed).toBeUndefined();
});

test('[R14] one person has only so many sockets, and others find a place', async () => {
  const server = await startTestServer({ most: { aBoard: 10, anAddress: 30, aPerson: 3 } });
  const board = await server.create();
  const me = await server.visit(board, 'join');
  const other = await server.visit(board, 'join');
  const all = await Promise.allSettled(
    Array.from({ length: 15 }, () => Peer.open(server, board, me)),
  );
  expect(all.filter(({ status }) => status === 'fulfilled')).toHaveLength(3);
  await (await Peer.joined(server, board, other)).settled();
  const [mine] = all.flatMap((each) => (each.status === 'fulfilled' ? [each.value] : []));
  await mine?.leave();
  await eventually(() => server.host.health().sockets === 3, 'the server has noticed');
  await Peer.open(server, board, me);
  await expect(Peer.open(server, board, me)).rejects.toThrow('429');
});

test('[R14] a board and an address have only so many sockets; one that closes makes room', async () => {
  const server = await startTestServer({ most: { aBoard: 2, anAddress: 3, aPerson: 9 } });
  const [first, second] = [await server.create(), await server.create()];
  const [me, other] = [await server.visit(first, 'join'), await server.visit(second, 'join')];
  const peers = [await Peer.open(server, first, me), await Peer.open(server, first, me)];
  await expect(Peer.open(server, first, me)).rejects.toThrow('429');
  await Peer.open(server, second, other);
  await expect(Peer.open(server, second, other)).rejects.toThrow('429');
  await peers[0]?.leave();
  await eventually(() => server.host.health().sockets === 2, 'the server has noticed');
  await Peer.open(server, second, other);
  await expect(Peer.open(server, first, me)).rejects.toThrow('429');
  await peers[1]?.settled();
});

test('[R14] a socket that no longer answers is let go', async () => {
  const server = await startTestServer({ pingEveryMs: 20 });
  const board = await server.create();
  const me = await server.visit(board, 'join');
  const silent = await Peer.open(server, board, me);
  const lively = await Peer.joined(server, board, me);
  silent.socket.pause();
  while (server.host.health().sockets > 1) await lively.heard();
  expect(lively.closed).toBeUndefined();
});

test('[R1] an upgrade that is not for a board is closed', async () => {
  const { server } = await scene();
  await expect(
    Peer.open(server, { id: '../health' as TestBoard['id'] }, undefined),
  ).rejects.toThrow();
});

test('[R14] a reader who does not keep up is cut, and the others go on', async () => {
  // A clock a thousand times as fast, so that the writer may write as much as this takes.
  const server = await startTestServer({ now: () => performance.now() * 1000 });
  const board = await server.create();
  const me = await server.visit(board, 'lead');
  const slow = await Peer.joined(server, board, await server.visit(board, 'watch'));
  const writer = await Peer.joined(server, board, me);
  slow.socket.pause();
  const name = saidBy(me.participant);
  for (let turn = 0; turn < 400 && server.host.health().sockets > 1; turn += 1) {
    writer.edit(name, (doc) => doc.getMap('me').set('note', `${turn}`.padEnd(200_000, 'x')));
    await writer.settled();
  }
  expect(server.host.health().sockets).toBe(1);
  expect(writer.refusals).toEqual([]);
});

test('[R14] a server that stops does not wait long for somebody who does not answer', async () => {
  const { server, board, me } = await scene();
  const silent = await Peer.joined(server, board, me);
  silent.socket.pause();
  const begin = performance.now();
  await server.stop();
  expect(performance.now() - begin).toBeLessThan(5_000);
});
