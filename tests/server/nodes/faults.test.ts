import { afterAll, beforeAll, expect, test } from 'vitest';
import * as Y from 'yjs';
import { PostgresStore } from '../../../server/store/postgres';
import { DocumentFamily } from '../../../shared/board/documents';
import { saidBy } from '../../../shared/board/roles';
import { writeName, writePasses } from '../../../shared/board/write';
import type { Engines } from '../../kit/engine-servers';
import { startEngines } from '../../kit/engine-servers';
import { withEngines } from '../../kit/engines';
import { FaultyFanout, seeded } from '../../kit/hub';
import { startNode, untilAgreed } from '../../kit/nodes';
import { Peer } from '../../kit/peers';
import { eventually, ProviderPeer, sameFamilies } from '../../kit/provider';
import type { TestBoard, TestServer, Visitor } from '../../kit/server';

/** Seeds of the normal run; PASSROUND_SCHEDULES asks for more. */
const SCHEDULES = Number(process.env.PASSROUND_SCHEDULES ?? 24);
const STEPS = 40;

withEngines(() => {
  let engines: Engines;
  beforeAll(async () => {
    engines = await startEngines();
  }, 60_000);
  afterAll(() => engines.end());

  /** What the database holds, read by nobody who has anything in memory. */
  async function diskOf(url: string, board: TestBoard): Promise<DocumentFamily> {
    const store = await PostgresStore.open(url);
    const family = new DocumentFamily();
    for (const { document, update } of (await store.load(board.id)) ?? [])
      Y.applyUpdate(family.open(document), update);
    await store.close();
    return family;
  }

  /** Three people with the browser's own provider, which comes back by itself, each on a node of their own. */
  async function threeProviders() {
    const url = await engines.postgres.newDatabase();
    const nodes: TestServer[] = [];
    for (let index = 0; index < 3; index += 1) nodes.push(await startNode(url, engines.redis.url));
    const [first] = nodes;
    if (!first) throw new Error('no node');
    const board = await first.create();
    const visitors: Visitor[] = [
      await first.visit(board, 'lead'),
      await first.visit(board, 'join'),
      await first.visit(board, 'join'),
    ];
    const people = nodes.map((node, index) => {
      const visitor = visitors[index];
      if (!visitor) throw new Error('nobody');
      return new ProviderPeer(node.port, board, visitor);
    });
    const [leader, ash, bo] = people;
    if (!leader || !ash || !bo) throw new Error('nobody');
    for (const person of people)
      await eventually(() => person.provider.synced, 'everybody has the board');
    return { url, nodes, board, people, leader, ash, bo };
  }

  const name = (person: ProviderPeer, text: string) =>
    writeName(person.open(saidBy(person.visitor.participant)), text);
  const sees = (person: ProviderPeer, other: ProviderPeer) =>
    person.family.find(saidBy(other.visitor.participant))?.getMap('me').get('name');
  const allSee = (people: readonly ProviderPeer[], other: ProviderPeer, text: string) =>
    eventually(
      () => people.every((person) => sees(person, other) === text),
      `everybody sees "${text}"`,
    );

  test('while Redis is away people still see one another, and after it is back at once', async () => {
    const { people, ash, bo, url, board } = await threeProviders();
    name(ash, 'before');
    await allSee(people, ash, 'before');
    await engines.redis.stop();
    name(ash, 'without Redis');
    name(bo, 'without Redis either');
    await allSee(people, ash, 'without Redis');
    await allSee(people, bo, 'without Redis either');
    await engines.redis.start();
    name(bo, 'with Redis again');
    await allSee(people, bo, 'with Redis again');
    const disk = await diskOf(url, board);
    for (const person of people)
      await eventually(() => sameFamilies(person.family, disk), 'all see what is on disk');
  }, 60_000);

  test('while PostgreSQL restarts nothing is shown that is not kept, and what was written then is kept after', async () => {
    const { people, nodes, ash, leader, url, board } = await threeProviders();
    const watchers: Peer[] = [];
    for (const node of nodes)
      watchers.push(await Peer.joined(node, board, await node.visit(board, 'watch')));
    name(ash, 'before');
    await allSee(people, ash, 'before');
    await engines.postgres.stop();
    name(ash, 'while it is down');
    writePasses(leader.family.lead, 11);
    const others = people.filter((person) => person !== ash);
    // Each node has answered since, and the line to its own people is no slower than that to the watchers.
    for (const watcher of watchers) await watcher.heard();
    for (const person of others) expect(sees(person, ash)).toBe('before');
    await engines.postgres.start();
    await allSee(people, ash, 'while it is down');
    await eventually(
      () => people.every((person) => person.family.lead.getMap('choice').get('passes') === 11),
      'everybody sees the passes',
    );
    const disk = await diskOf(url, board);
    for (const person of people)
      await eventually(() => sameFamilies(person.family, disk), 'all see what is on disk');
  }, 60_000);

  test('a node that hears nothing of the others for a while catches up, and neither side loses anything', async () => {
    const url = await engines.postgres.newDatabase();
    const one = await startNode(url, engines.redis.url);
    let line: FaultyFanout | undefined;
    const two = await startNode(url, engines.redis.url, {
      // It does not look into the database in between: only what it hears counts, until the line is back.
      roundMs: 600_000,
      fanout: (real) => {
        line = new FaultyFanout(real, { lost: 0, doubled: 0, late: 0 }, seeded(1));
        return line;
      },
    });
    const board = await one.create();
    const leader = await Peer.joined(one, board, await one.visit(board, 'lead'));
    const me = await one.visit(board, 'join');
    const ash = await Peer.joined(two, board, me);
    line?.cut();
    leader.edit('lead', (doc) => writePasses(doc, 5));
    await leader.settled();
    await ash.settled();
    expect(ash.sees?.passes).not.toBe(5);
    // A page of the node that is cut off shows the truth all the same.
    expect((await two.host.readBoard(board.id))?.passes).toBe(5);
    leader.edit('lead', (doc) => writePasses(doc, 6));
    ash.edit(saidBy(me.participant), (doc) => writeName(doc, 'Ash'));
    // Writing tells it what it missed.
    await ash.until(() => ash.sees?.passes === 6);
    line?.mend();
    await untilAgreed([leader, ash]);
  });

  test('clocks of nodes that are hours apart tell one time', async () => {
    const url = await engines.postgres.newDatabase();
    const { serverNow } = await import('../../../server/clock');
    const nodes = [
      await startNode(url, engines.redis.url, { local: serverNow }),
      await startNode(url, engines.redis.url, { local: () => serverNow() + 7_200_000 }),
      await startNode(url, engines.redis.url, { local: () => serverNow() - 90_000 }),
    ];
    const times = nodes.map((node) => node.host.now());
    // Each is within half the way to the database and back, some milliseconds on a busy machine.
    expect(Math.max(...times) - Math.min(...times)).toBeLessThan(20);
  });

  test.each(Array.from({ length: SCHEDULES }, (_, index) => index + 1))(
    'lost, doubled and late messages, lines that are cut and people who change nodes: all agree in the end (seed %i)',
    async (seed) => {
      const random = seeded(seed);
      const pick = (count: number) => Math.floor(random() * count);
      const url = await scheduleDatabase();
      const lines: FaultyFanout[] = [];
      const nodes: TestServer[] = [];
      for (let index = 0; index < 3; index += 1)
        nodes.push(
          await startNode(url, engines.redis.url, {
            fanout: (real) => {
              const faults = { lost: 0.2, doubled: 0.2, late: 0.2 };
              const line = new FaultyFanout(real, faults, random);
              lines.push(line);
              return line;
            },
          }),
        );
      const nodeAt = (index: number) => {
        const node = nodes[index];
        if (!node) throw new RangeError(`no node ${index}`);
        return node;
      };
      const board = await nodeAt(0).create();
      const people: { visitor: Visitor; peer: Peer }[] = [];
      for (const role of ['lead', 'join', 'join'] as const) {
        const visitor = await nodeAt(0).visit(board, role);
        const peer = await Peer.joined(nodeAt(pick(3)), board, visitor);
        people.push({ visitor, peer });
      }
      for (let step = 0; step < STEPS; step += 1) {
        const index = pick(people.length);
        const person = people[index];
        if (!person) throw new RangeError(`nobody ${index}`);
        const { visitor, peer } = person;
        const act = random();
        if (act < 0.1) lines[pick(3)]?.cut();
        else if (act < 0.25) lines[pick(3)]?.mend();
        else if (act < 0.35) {
          await peer.settled();
          await peer.leave();
          person.peer = await Peer.joined(nodeAt(pick(3)), board, visitor);
        } else if (visitor.role === 'lead') peer.edit('lead', (doc) => writePasses(doc, 1 + step));
        else
          peer.edit(saidBy(visitor.participant), (doc) => writeName(doc, `name ${seed} ${step}`));
      }
      for (const line of lines) line.mend();
      for (const { peer } of people) await peer.settled();
      const peers = people.map(({ peer }) => peer);
      await untilAgreed(peers);
      const disk = await diskOf(url, board);
      for (const peer of peers) expect(sameFamilies(peer.family, disk)).toBe(true);
      expect(peers.flatMap(({ refusals }) => refusals)).toEqual([]);
      for (const peer of peers)
        for (const document of peer.family.names())
          expect(peer.family.open(document).store.pendingStructs).toBeNull();
      for (const node of nodes) await node.stop();
    },
    60_000,
  );

  let shared: Promise<string> | undefined;
  /** All schedules share a database: each makes a board of its own. */
  function scheduleDatabase(): Promise<string> {
    shared ??= engines.postgres.newDatabase();
    return shared;
  }
});
