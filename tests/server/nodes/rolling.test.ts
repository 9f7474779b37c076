import { afterAll, beforeAll, expect, onTestFinished, test } from 'vitest';
import { withTempo } from '../../../lib/transport/change';
import { positionAt } from '../../../lib/transport/place';
import type { Transport } from '../../../lib/transport/transport';
import { serverNow } from '../../../server/clock';
import { LEAD_DOCUMENT } from '../../../shared/board/roles';
import { writeTransport } from '../../../shared/board/write';
import { startBalancer } from '../../kit/balancer';
import type { Engines } from '../../kit/engine-servers';
import { startEngines } from '../../kit/engine-servers';
import { withEngines } from '../../kit/engines';
import { Follower, localNow } from '../../kit/follower';
import { startNode } from '../../kit/nodes';
import { eventually } from '../../kit/provider';
import type { TestServer } from '../../kit/server';
import { TWO } from '../../kit/transport';

const HOUR = 3_600_000;
/** A slot at 120 beats a minute: whoever is off by more plays something else. */
const SLOT = 125;

withEngines(() => {
  let engines: Engines;
  beforeAll(async () => {
    engines = await startEngines();
  }, 60_000);
  afterAll(() => engines.end());

  test('while all servers are replaced one by one a group that plays keeps one beat, and what the leader does reaches all', async () => {
    const url = await engines.postgres.newDatabase();
    const balancer = await startBalancer();
    onTestFinished(() => balancer.end());
    // No two clocks of these servers tell the same hour.
    let started = 0;
    const start = async (): Promise<TestServer> => {
      started += 1;
      const ahead = (started % 2 ? 1 : -1) * started * HOUR;
      const server = await startNode(url, engines.redis.url, { local: () => serverNow() + ahead });
      balancer.add(server.port);
      return server;
    };
    let nodes = [await start(), await start(), await start()];
    const [first] = nodes;
    if (!first) throw new RangeError('no server');
    const board = await first.create();
    const band: Follower[] = [];
    for (const role of ['lead', 'join', 'join', 'watch'] as const) {
      const follower = new Follower(balancer.port, board, await first.visit(board, role));
      onTestFinished(() => follower.stop());
      band.push(follower);
    }
    const [leader] = band;
    if (!leader) throw new RangeError('nobody');
    await eventually(
      () => band.every(({ provider, offset }) => provider.synced && offset !== undefined),
      'all are there and know the time',
    );
    const now = (who: Follower) => localNow() + (who.offset ?? Number.NaN);
    const heard = (who: Follower) =>
      who.family.lead.getMap<Transport>('transport').get('now') ?? { kind: 'stopped' };
    const playing: Transport = {
      kind: 'playing',
      legs: [{ kind: 'play', atMs: now(leader), pass: 1, visit: 0, tempo: 120 }],
      lastPass: 40,
    };
    writeTransport(leader.open(LEAD_DOCUMENT), playing);
    await eventually(() => band.every((who) => heard(who).kind === 'playing'), 'all play');

    // How far anybody's time goes from where it was, and from the others', all the way.
    const atFirst = new Map(band.map((who) => [who, who.offset ?? Number.NaN]));
    let apart = 0;
    let moved = 0;
    const places = new Set<string>();
    const watch = setInterval(() => {
      const offsets = band.map((who) => who.offset ?? Number.NaN);
      apart = Math.max(apart, Math.max(...offsets) - Math.min(...offsets));
      for (const who of band) {
        const there = Math.abs((who.offset ?? Number.NaN) - (atFirst.get(who) ?? Number.NaN));
        moved = Math.max(moved, there);
        places.add(positionAt(heard(who), TWO, now(who)).kind);
      }
    }, 5);
    onTestFinished(() => clearInterval(watch));

    for (const [turn, old] of nodes.entries()) {
      const before = band.reduce((sum, { lines }) => sum + lines, 0);
      const there = old.host.health().sockets;
      nodes = [...nodes, await start()];
      balancer.remove(old.port);
      await old.stop();
      await eventually(
        () =>
          band.reduce((sum, { lines }) => sum + lines, 0) >= before + there &&
          band.every(({ provider }) => provider.synced),
        'all are somewhere again',
      );
      // The leader takes the tempo up a little each time.
      const faster = withTempo(heard(leader), TWO, now(leader), 122 + 2 * turn);
      writeTransport(leader.open(LEAD_DOCUMENT), faster);
      const told = JSON.stringify(faster);
      await eventually(
        () => band.every((who) => JSON.stringify(heard(who)) === told),
        'all have the new tempo',
      );
    }
    clearInterval(watch);
    expect(apart).toBeLessThan(SLOT);
    expect(moved).toBeLessThan(SLOT);
    expect([...places]).toEqual(['playing']);
    // Everybody had to go over at least once, since no server is left of those at the beginning.
    expect(Math.min(...band.map(({ lines }) => lines))).toBeGreaterThan(1);
    expect(band.flatMap(({ refusals }) => refusals)).toEqual([]);
  }, 60_000);
});
