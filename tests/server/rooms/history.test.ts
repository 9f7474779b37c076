import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import * as Y from 'yjs';
import type { VariantId } from '../../../lib/units';
import { MAX_POINTS, POINT_EVERY } from '../../../server/limits';
import { SqliteStore } from '../../../server/store/sqlite';
import {
  writeCalled,
  writeFrozen,
  writeHidden,
  writeSecretBallots,
  writeVotingClosed,
} from '../../../shared/board/leading';
import { ballotOf, saidBy } from '../../../shared/board/roles';
import { writeSame } from '../../../shared/board/same';
import type { Board, Plan } from '../../../shared/board/schema';
import {
  takeBackProposal,
  writeAgreed,
  writeApproval,
  writeHead,
  writeName,
  writeOverruled,
  writePasses,
  writePlain,
  writeVotingOpen,
} from '../../../shared/board/write';
import { act, propose, remove } from '../../kit/orders';
import { Peer } from '../../kit/peers';
import { eventually } from '../../kit/provider';
import { startTestServer, testFolder } from '../../kit/server';
import { testConfig } from '../../kit/server-config';
import type { Stage } from '../../kit/stage';
import { stage } from '../../kit/stage';
import { SlowStore } from '../../kit/stores';

const host = (it: Stage) => it.server.host;

async function pointsOf(it: Stage) {
  const listed = await host(it).listPast(it.board.id, it.leader.me.cookie);
  if (!listed.ok) throw new Error('this is no leader');
  return listed.value;
}

async function pastOf(it: Stage, number: number): Promise<Board> {
  const read = await host(it).readPast(it.board.id, number, it.leader.me.cookie);
  if (!read.ok) throw new Error('this cannot be looked at');
  return read.value.board;
}

const reasons = async (it: Stage) => (await pointsOf(it)).map(({ why }) => why);

/** The leader agrees on passes that play a variant; waits until that is kept as a point. */
async function agree(it: Stage, variant: VariantId, passes: number): Promise<Board> {
  const before = (await pointsOf(it)).length;
  const found = it.leader.peer.sees?.variants.find(({ id }) => id === variant);
  if (!found) throw new Error('the leader sees no such variant');
  const { measure, strokes } = found;
  const pass = { [measure]: variant };
  const plan: Plan = {
    passes: Array.from({ length: passes }, () => pass),
    variants: { [variant]: { measure, strokes, by: 'Alder' } },
  };
  it.leader.peer.edit('lead', (doc) => writeAgreed(doc, plan));
  await it.leader.peer.settled();
  await eventually(async () => (await pointsOf(it)).length > before, 'a point is kept');
  const seen = it.leader.peer.sees;
  if (!seen) throw new Error('the leader sees no board');
  return seen;
}

async function returnTo(it: Stage, number: number) {
  const done = await host(it).returnToPast(it.board.id, number, it.leader.me.cookie);
  await it.leader.peer.settled();
  return done;
}

/** A board with a variant that two people want, agreed on. */
async function agreedStage(now?: () => number) {
  const it = await stage(now ? { now } : {});
  const variant = (await propose(it.victim, 3, 'mine')) as VariantId;
  for (const { me, peer } of [it.victim, it.attacker]) {
    peer.edit(ballotOf(me.participant), (doc) => writeApproval(doc, variant, true));
    await peer.settled();
  }
  await it.leader.peer.settled();
  const then = await agree(it, variant, 3);
  const [point] = await pointsOf(it);
  if (!point) throw new Error('nothing was kept');
  return { it, variant, then, point };
}

test('[R22] the board is kept when passes are agreed and when voting closes, and can be looked at as it was, variants and votes too', async () => {
  const { it, variant, then, point } = await agreedStage();
  it.leader.peer.edit('lead', (doc) => writeVotingOpen(doc));
  it.victim.peer.edit(saidBy(it.victim.me.participant), (doc) => takeBackProposal(doc, variant));
  it.leader.peer.edit('lead', (doc) => writeHead(doc, { title: 'Another' }));
  it.leader.peer.edit('lead', (doc) => writeVotingClosed(doc));
  await it.leader.peer.settled();
  await eventually(async () => (await pointsOf(it)).length > 2, 'closing is kept');
  expect(await reasons(it)).toEqual(['closed', 'agreed', 'time']);
  const past = await pastOf(it, point.number);
  expect(past).toEqual(then);
  expect(past.approvals[it.victim.me.participant]).toContain(variant);
  expect((await host(it).readBoard(it.board.id))?.tune.title).toBe('Another');
});

test('[R22] only leaders list, look and return', async () => {
  const { it, point } = await agreedStage();
  const { cookie: gone } = await it.server.visit(it.board, 'lead');
  const visitor = await it.server.visit(it.board, 'lead');
  const taken = await Peer.joined(it.server, it.board, visitor);
  act({ peer: taken }, { kind: 'take-out-mine' });
  await taken.until(() => taken.closed !== undefined);
  const other = await it.server.create();
  const elsewhere = await it.server.visit(other, 'lead');
  for (const cookie of [
    it.attacker.me.cookie,
    it.witness.me.cookie,
    visitor.cookie,
    elsewhere.cookie,
    `${gone}x`,
    undefined,
  ])
    for (const answer of [
      host(it).listPast(it.board.id, cookie),
      host(it).readPast(it.board.id, point.number, cookie),
      host(it).returnToPast(it.board.id, point.number, cookie),
    ])
      expect(await answer).toMatchObject({ ok: false, problems: [{ code: 'leaders-only' }] });
  for (const number of [0, -1, 1.5, Number.NaN, 99, 2 ** 40])
    expect(await returnTo(it, number)).toMatchObject({
      ok: false,
      problems: [{ code: 'no-such-point' }],
    });
  expect((await host(it).readBoard(it.board.id))?.returned).toBeUndefined();
});

test('[R22] while people work a point is kept every ten minutes, also if the clock is set back, and they are thinned', async () => {
  let now = 1_700_000_000_000;
  const it = await stage({ now: () => now });
  const edit = async (passes: number) => {
    it.leader.peer.edit('lead', (doc) => writePasses(doc, passes));
    await it.leader.peer.settled();
  };
  await eventually(async () => (await pointsOf(it)).length === 1, 'the first change is kept');
  now += POINT_EVERY - 1;
  await edit(3);
  now += 1;
  await edit(4);
  await eventually(async () => (await pointsOf(it)).length === 2, 'ten minutes are kept');
  now -= 5 * POINT_EVERY;
  await edit(5);
  await eventually(async () => (await pointsOf(it)).length === 3, 'a clock set back is kept');
  expect(await reasons(it)).toEqual(['time', 'time', 'time']);
  const [latest] = await pointsOf(it);
  expect((await pastOf(it, latest?.number ?? 0)).passes).toBe(5);
});

test('[R22] ballots that are held back are in no point, not even for their owner, before or after they are shown', async () => {
  let now = 1_700_000_000_000;
  const it = await stage({ now: () => now });
  it.leader.peer.edit('lead', (doc) => writeSecretBallots(doc, true));
  await it.leader.peer.settled();
  it.leader.peer.edit(ballotOf(it.leader.me.participant), (doc) =>
    writeApproval(doc, 'plain:m2', true),
  );
  now += POINT_EVERY;
  it.leader.peer.edit('lead', (doc) => writePasses(doc, 3));
  await it.leader.peer.settled();
  await eventually(async () => (await pointsOf(it)).length === 2, 'a point is kept');
  const [secret] = await pointsOf(it);
  expect((await pastOf(it, secret?.number ?? 0)).approvals).toEqual({});
  it.leader.peer.edit('lead', (doc) => writeVotingClosed(doc));
  await it.leader.peer.settled();
  await eventually(async () => (await pointsOf(it)).length === 3, 'closing is kept');
  const [closed] = await pointsOf(it);
  expect((await pastOf(it, secret?.number ?? 0)).approvals).toEqual({});
  expect((await pastOf(it, closed?.number ?? 0)).approvals).toMatchObject({
    [it.victim.me.participant]: ['plain:m1'],
    [it.leader.me.participant]: ['plain:m2'],
  });
});

test('[R22] who is gone is in no point from then on, in no file, and does not come back by a return', async () => {
  const { it, variant, point } = await agreedStage();
  const { participant } = it.victim.me;
  it.victim.peer.edit(saidBy(participant), (doc) => writeName(doc, 'Zinnobermeise'));
  it.leader.peer.edit('lead', (doc) => writeCalled(doc, participant, 'Quittenvogel'));
  it.leader.peer.edit('lead', (doc) => writeOverruled(doc, 'm1' as never, variant));
  await it.victim.peer.settled();
  await it.leader.peer.settled();
  const again = await agree(it, variant, 2);
  it.leader.peer.edit('lead', (doc) => writeHidden(doc, variant, true));
  expect(again.people.map(({ name }) => name)).toContain('Quittenvogel');
  const [second] = await pointsOf(it);
  expect((await pastOf(it, point.number)).plan?.variants[variant]).toBeDefined();
  await remove(it);
  for (const number of [point.number, second?.number ?? 0]) {
    const past = await pastOf(it, number);
    expect(JSON.stringify(past)).not.toContain(participant);
    expect(past.plan?.passes.length).toBeGreaterThan(0);
    expect(await returnTo(it, number)).toMatchObject({ ok: true });
    const now = await host(it).readBoard(it.board.id);
    expect({ ...now, gone: [] }).toMatchObject({ overruled: {}, plan: past.plan ?? {} });
    expect(JSON.stringify({ ...now, gone: [] })).not.toContain(participant);
  }
  await it.server.stop();
  for (const file of readdirSync(it.server.config.dataDir))
    for (const text of ['Zinnobermeise', 'Quittenvogel', 'Alder'])
      expect(
        readFileSync(join(it.server.config.dataDir, file)).includes(text),
        `${text} in ${file}`,
      ).toBe(false);
});

test('[R23] a return restores what leaders decided, changes nobody’s words or votes, and can be returned from', async () => {
  const { it, variant, then, point } = await agreedStage();
  const { leader } = it;
  const first = then.tune.parts[0]?.measures[0];
  if (!first) throw new Error('the demo has a first measure');
  leader.peer.edit(saidBy(leader.me.participant), (doc) => writeName(doc, 'Linden'));
  leader.peer.edit('lead', (doc) => {
    writeHead(doc, { title: 'Another', tempo: 60 });
    writePlain(doc, first.id, first.strokes.slice(1), []);
    writePasses(doc, 9);
    writeHidden(doc, variant, true);
    writeOverruled(doc, first.id, 'plain');
    writeVotingOpen(doc);
    writeFrozen(doc, true);
    writeCalled(doc, it.attacker.me.participant, 'Weaver');
    writeSame(doc, it.leader.me.participant, it.attacker.me.participant);
  });
  await leader.peer.settled();
  const own = () =>
    Object.fromEntries(
      leader.peer.family
        .names()
        .filter((name) => name.includes('/'))
        .map((name) => [name, Y.encodeStateAsUpdate(leader.peer.family.open(name))]),
    );
  const owned = own();
  const before = leader.peer.sees;
  expect(await returnTo(it, point.number)).toEqual({ ok: true, value: undefined });
  await it.witness.peer.settled();
  const after = it.witness.peer.sees;
  expect(after).toMatchObject({
    tune: then.tune,
    plan: then.plan,
    passes: then.passes,
    overruled: {},
    variants: then.variants,
    voting: 'open',
    orders: { frozen: true, hidden: [], called: { [it.attacker.me.participant]: 'Weaver' } },
    returned: { toMs: point.atMs },
    people: before?.people,
  });
  expect(own()).toEqual(owned);
  const [latest] = await pointsOf(it);
  expect(latest?.why).toBe('return');
  expect(await returnTo(it, latest?.number ?? 0)).toMatchObject({ ok: true });
  const { returned, ...back } = it.leader.peer.sees ?? {};
  expect(back).toEqual(before);
  expect(returned?.toMs).toBe(latest?.atMs);
  expect(it.server.reports).toEqual([]);
});

test('[R23] where how it is cannot be kept, a return changes nothing and says so', async () => {
  const config = testConfig(testFolder());
  const store = new SlowStore(new SqliteStore(config.dataDir));
  const server = await startTestServer({ config, store, lingerMs: 60_000 });
  const board = await server.create();
  const me = await server.visit(board, 'lead');
  const leader = await Peer.joined(server, board, me);
  leader.edit('lead', (doc) => writePasses(doc, 3));
  await leader.settled();
  await eventually(async () => (await store.listPoints(board.id)).length === 1, 'a point is kept');
  leader.edit('lead', (doc) => writePasses(doc, 7));
  await leader.settled();
  store.failWhen((what) => what === 'point');
  const answer = await server.host.returnToPast(board.id, 1, me.cookie);
  expect(answer).toMatchObject({ ok: false, problems: [{ code: 'not-kept' }] });
  expect((await server.host.readBoard(board.id))?.passes).toBe(7);
  store.failWhen(() => false);
  expect(await server.host.returnToPast(board.id, 1, me.cookie)).toMatchObject({ ok: true });
  expect((await server.host.readBoard(board.id))?.passes).toBe(3);
  expect(leader.closed).toBeUndefined();
});

test('[R22] a board that is agreed on a hundred times keeps no more points than there may be, the latest among them', async () => {
  const it = await stage();
  for (let turn = 0; turn < 100; turn += 1) {
    it.leader.peer.edit('lead', (doc) => {
      writePasses(doc, 2 + (turn % 20));
      writeAgreed(doc, { passes: [{ m1: 'plain' }, { [`m${turn}`]: 'plain' }], variants: {} });
    });
    await it.leader.peer.settled();
  }
  await it.leader.peer.settled();
  const points = await pointsOf(it);
  expect(points.length).toBeLessThanOrEqual(MAX_POINTS + 1);
  expect(points.length).toBeGreaterThan(MAX_POINTS - 2);
  const last = { m99: 'plain' };
  await eventually(async () => {
    const [latest] = await pointsOf(it);
    return (
      JSON.stringify((await pastOf(it, latest?.number ?? 0)).plan?.passes[1]) ===
      JSON.stringify(last)
    );
  }, 'the last agreement is kept');
});
