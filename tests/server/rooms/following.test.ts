import { describe, expect, test } from 'vitest';
import type { Transport } from '../../../lib/transport/transport';
import type { ParticipantId } from '../../../lib/units';
import { SqliteStore } from '../../../server/store/sqlite';
import { writeFrozen, writeSecretBallots, writeVotingClosed } from '../../../shared/board/leading';
import { playStateOf } from '../../../shared/board/play-state';
import { playedOn, roundTheCircle, writeStart } from '../../../shared/board/played';
import { ballotOf, saidBy } from '../../../shared/board/roles';
import { writeSame } from '../../../shared/board/same';
import {
  writeAgreed,
  writeApproval,
  writeName,
  writePasses,
  writePlain,
  writeTransport,
} from '../../../shared/board/write';
import { queryAwarenessFrame, syncFrame } from '../../../shared/wire/frame';
import { SYNC } from '../../../shared/wire/kind';
import { act, codes, propose, remove } from '../../kit/orders';
import { Peer } from '../../kit/peers';
import { planOf } from '../../kit/plan';
import { here, presenceOf } from '../../kit/presence';
import { startTestServer, testFolder } from '../../kit/server';
import { testConfig } from '../../kit/server-config';
import type { Actor, Stage } from '../../kit/stage';
import { stage } from '../../kit/stage';
import { SlowStore } from '../../kit/stores';

const AT_ONCE: Transport = {
  kind: 'playing',
  legs: [{ kind: 'play', atMs: 10_000, pass: 1, visit: 0, tempo: 100 }],
  lastPass: 1,
};

/** What a page that is rendered now says of what is played. */
async function onPage({ server, board }: Pick<Stage, 'server' | 'board'>, id: ParticipantId) {
  const read = await server.host.readBoard(board.id, id);
  if (!read) throw new Error('there is no board');
  return playStateOf(read, id);
}

/** A stage with somebody who came by the watch link and only follows. */
async function followed() {
  const it = await stage();
  const me = await it.server.visit(it.board, 'watch');
  return { it, me, follower: await Peer.following(it.server, it.board, me) };
}

/** The leader sets what the board plays going. */
function start({ leader: { peer } }: Stage, transport: Transport = AT_ONCE): void {
  const seen = peer.sees;
  if (!seen || transport.kind !== 'playing') throw new Error('nothing to play');
  peer.edit('lead', (doc) => writeStart(doc, playedOn(seen), transport));
}

const unasked = (peer: Peer) =>
  peer.frames.filter(({ kind }) => kind === 'sync' || kind === 'awareness');

describe('who only follows', () => {
  test('[R25] is told at once who they are and what is played, as the page says it, and sent no document and nobody', async () => {
    const { it, me, follower } = await followed();
    await follower.heard();
    expect(follower.words.slice(0, 2).map(({ kind }) => kind)).toEqual(['welcome', 'play']);
    expect(follower.plays).toEqual([await onPage(it, me.participant)]);
    expect(unasked(follower)).toEqual([]);
    // Others are told of everybody who is here, and of all documents.
    expect(unasked(it.witness.peer).length).toBeGreaterThan(5);
  });

  test('[R25] is told each change that alters what is played, and no other, and nothing twice', async () => {
    const { it, me, follower } = await followed();
    const told = async () => {
      await it.leader.peer.settled();
      await follower.heard();
      expect(follower.plays.at(-1)).toEqual(await onPage(it, me.participant));
      return follower.plays.length;
    };
    const board = it.leader.peer.sees;
    if (!board) throw new Error('the leader sees no board');
    expect(await told()).toBe(1);
    await propose(it.victim, 3);
    it.victim.peer.edit(saidBy(it.victim.me.participant), (doc) => writeName(doc, 'Sorrel'));
    it.leader.peer.edit('lead', (doc) => writePasses(doc, 7));
    it.leader.peer.edit('lead', (doc) => writeFrozen(doc, true));
    it.leader.peer.edit('lead', (doc) => writeFrozen(doc, false));
    await it.victim.peer.settled();
    expect(await told()).toBe(1);
    it.leader.peer.edit('lead', (doc) => writeAgreed(doc, planOf(board)));
    expect(await told()).toBe(2);
    start(it);
    expect(await told()).toBe(3);
    expect(follower.plays[2]?.going.name).toBe(follower.plays[2]?.agreed.name);
    // What is agreed meanwhile has another name; what is going keeps its own.
    it.leader.peer.edit('lead', (doc) => writeAgreed(doc, { passes: [{}, {}], variants: {} }));
    expect(await told()).toBe(4);
    expect(follower.plays[3]?.going).toEqual(follower.plays[2]?.going);
    expect(follower.plays[3]?.agreed).toMatchObject({ passes: 2 });
    it.leader.peer.edit('lead', (doc) => writeTransport(doc, { kind: 'stopped' }));
    expect(await told()).toBe(5);
    expect(follower.plays[4]?.going.name).toBe(follower.plays[4]?.agreed.name);
    it.leader.peer.edit('lead', (doc) => writeTransport(doc, { kind: 'stopped' }));
    expect(await told()).toBe(5);
    const [first] = board.tune.parts[0]?.measures ?? [];
    if (!first) throw new Error('the tune has no measure');
    it.leader.peer.edit('lead', (doc) => writePlain(doc, first.id, first.strokes.slice(1), []));
    expect(await told()).toBe(6);
    const people = [{ id: me.participant, name: 'Fern' }];
    it.leader.peer.edit('lead', (doc) =>
      writeStart(doc, roundTheCircle(it.leader.peer.sees ?? board, 'measure', people), AT_ONCE),
    );
    expect(await told()).toBe(7);
    expect(follower.plays[6]?.going.circle).toBe(true);
  });

  test('[R25] is told nothing before it is on disk, then in its order', async () => {
    const config = testConfig(testFolder());
    const store = new SlowStore(new SqliteStore(config.dataDir));
    const server = await startTestServer({ config, store, lingerMs: 60_000 });
    const board = await server.create();
    const leader = await Peer.joined(server, board, await server.visit(board, 'lead'));
    await leader.settled();
    const follower = await Peer.following(server, board, await server.visit(board, 'watch'));
    store.hold();
    for (const lastPass of [1, 2, 3])
      leader.edit('lead', (doc) => writeTransport(doc, { ...AT_ONCE, lastPass } as Transport));
    await leader.heard();
    const late = await Peer.open(
      server,
      board,
      await server.visit(board, 'watch'),
      {},
      `/sync/${board.id}?for=play`,
    );
    await late.heard();
    await follower.heard();
    expect(store.waiting).toBe(1);
    expect(late.plays).toEqual([]);
    expect(follower.plays).toHaveLength(1);
    store.release();
    await follower.until(() => follower.plays.length === 4);
    await late.until(() => late.plays.length > 0);
    const last = ({ transport }: Peer['plays'][0]) =>
      transport.kind === 'playing' ? transport.lastPass : 0;
    expect(follower.plays.map(last)).toEqual([0, 1, 2, 3]);
    expect(late.plays.map(last)).toEqual([3]);
  });

  test('[R25] is told whom they are counted as, and the others are not', async () => {
    const it = await stage();
    const [mine, yours] = await Promise.all(
      [it.attacker, it.victim].map(({ me }) => Peer.following(it.server, it.board, me)),
    );
    const [one, other] = [it.attacker.me.participant, it.victim.me.participant];
    it.leader.peer.edit('lead', (doc) => writeSame(doc, one, other));
    await mine?.until(() => mine.plays.length === 2);
    await it.leader.peer.settled();
    await yours?.heard();
    expect(mine?.plays.map(({ as }) => as)).toEqual([one, other]);
    expect(yours?.plays.map(({ as }) => as)).toEqual([other]);
    // Somebody who was not here counts from when they come, which only the house notes.
    const late = await it.server.visit(it.board, 'join');
    it.leader.peer.edit('lead', (doc) => writeSame(doc, other, late.participant));
    await it.leader.peer.settled();
    await yours?.heard();
    expect(yours?.plays).toHaveLength(1);
    await Peer.following(it.server, it.board, late);
    await yours?.until(() => yours.plays.at(-1)?.as === late.participant);
  });

  test('[R25] is told what a removal and a return to a kept point alter, and is away when they are removed', async () => {
    const { it, me, follower } = await followed();
    const theirs = await Peer.following(it.server, it.board, it.victim.me);
    const variant = await propose(it.victim, 3, 'with a slide');
    const found = it.leader.peer.sees?.variants.find(({ id }) => id === variant);
    if (!found) throw new Error('the leader sees no variant');
    const { measure, strokes } = found;
    const agree = (passes: number) =>
      it.leader.peer.edit('lead', (doc) =>
        writeAgreed(doc, {
          passes: Array.from({ length: passes }, () => ({ [measure]: found.id })),
          variants: { [found.id]: { measure, strokes, by: 'Alder' } },
        }),
      );
    agree(2);
    await it.leader.peer.settled();
    const points = async () => {
      const listed = await it.server.host.listPast(it.board.id, it.leader.me.cookie);
      return listed.ok ? listed.value : [];
    };
    await expect.poll(async () => (await points()).map(({ why }) => why)).toContain('agreed');
    const [point] = await points();
    agree(3);
    await follower.until(() => follower.plays.at(-1)?.agreed.passes === 3);
    await it.server.host.returnToPast(it.board.id, point?.number ?? 0, it.leader.me.cookie);
    await follower.until(() => follower.plays.at(-1)?.agreed.passes === 2);
    await remove(it);
    await theirs.until(() => theirs.closed !== undefined);
    expect(theirs.closed?.code).toBe(4403);
    expect(theirs.refusals.map(({ code }) => code)).toEqual(['removed']);
    await follower.heard();
    expect(follower.plays.at(-1)).toEqual(await onPage(it, me.participant));
    await expect(Peer.following(it.server, it.board, it.victim.me)).rejects.toThrow();
  });

  test('[R25] is a socket like any other: it is seen, writes what it may, is refused what it may not, and is given what it asks for', async () => {
    const it = await stage();
    const me = await it.server.visit(it.board, 'join');
    const peer = await Peer.following(it.server, it.board, me);
    const actor: Actor = { me, peer, client: 9 };
    const state = { participant: me.participant };
    peer.send(presenceOf({ client: 9, clock: 1, state }));
    await it.witness.peer.until(() => 9 in here(it.witness.peer));
    peer.edit(saidBy(me.participant), (doc) => writeName(doc, 'Sorrel'));
    await it.witness.peer.until(
      () => it.witness.peer.sees?.people.some(({ name }) => name === 'Sorrel') ?? false,
    );
    peer.edit('lead', (doc) => writePasses(doc, 3));
    act(actor, { kind: 'renew-link', role: 'lead' });
    peer.send(new Uint8Array([99]));
    await peer.heard();
    expect(codes(actor)).toEqual(['not-yours', 'leaders-only', 'unreadable']);
    expect(unasked(peer)).toEqual([]);
    await peer.fetch('lead');
    peer.send(queryAwarenessFrame());
    await peer.until(() => 9 in here(peer));
    await peer.leave();
    await it.witness.peer.until(() => !(9 in here(it.witness.peer)));
    const busy = await Peer.following(it.server, it.board, me);
    for (let count = 0; count < 4000; count += 1) busy.send(new Uint8Array([3]));
    await busy.until(() => busy.closed !== undefined);
    expect(busy.closed?.code).toBe(4429);
  });

  test('[R25] is asked for nothing and sent no ballots when leaders open what was closed', async () => {
    const it = await stage();
    const follower = await Peer.following(it.server, it.board, it.attacker.me);
    it.leader.peer.edit('lead', (doc) => writeSecretBallots(doc, true));
    it.leader.peer.edit('lead', (doc) => writeFrozen(doc, true));
    it.leader.peer.edit('lead', (doc) => writeFrozen(doc, false));
    it.leader.peer.edit('lead', writeVotingClosed);
    await it.witness.peer.until(
      () => it.witness.peer.sees?.approvals[it.victim.me.participant] !== undefined,
    );
    await it.leader.peer.settled();
    await follower.heard();
    expect(unasked(follower)).toEqual([]);
    // Those who have the whole board were asked and sent.
    const theirs = it.attacker.peer.frames.flatMap((frame) =>
      frame.kind === 'sync' && frame.step === SYNC.step1 ? [frame.document] : [],
    );
    expect(theirs.length).toBeGreaterThan(3);
  });

  test('[R25] what they may not see of a vote is held back from them as from anybody', async () => {
    const it = await stage();
    it.leader.peer.edit('lead', (doc) => writeSecretBallots(doc, true));
    await it.leader.peer.settled();
    const follower = await Peer.following(it.server, it.board, it.attacker.me);
    const theirs = ballotOf(it.victim.me.participant);
    it.victim.peer.edit(theirs, (doc) => writeApproval(doc, 'plain:m2', true));
    follower.send(syncFrame(theirs, SYNC.step1, new Uint8Array([0])));
    await follower.heard();
    expect(follower.refusals.map(({ code }) => code)).toEqual(['held-back']);
  });
});

test('[R25] a purpose that nobody knows is the whole board', async () => {
  const it = await stage();
  const path = `/sync/${it.board.id}?for=everything`;
  const peer = await Peer.open(it.server, it.board, it.witness.me, {}, path);
  await peer.settled();
  expect(peer.plays).toEqual([]);
  expect(unasked(peer).length).toBeGreaterThan(5);
});
