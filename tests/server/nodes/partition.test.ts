import type { ChildProcess } from 'node:child_process';
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, expect, onTestFinished, test } from 'vitest';
import { LEAD_DOCUMENT, saidBy } from '../../../shared/board/roles';
import { writeName, writePasses } from '../../../shared/board/write';
import type { Engines } from '../../kit/engine-servers';
import { startEngines } from '../../kit/engine-servers';
import { withEngines } from '../../kit/engines';
import { canMakeIslands, makeIsland } from '../../kit/island';
import { startNode } from '../../kit/nodes';
import { eventually, sameFamilies } from '../../kit/provider';
import { Roamer } from '../../kit/roamer';
import type { TestBoard, TestServer } from '../../kit/server';
import { testFolder } from '../../kit/server';
import { startSlowLine } from '../../kit/slow-line';

const CHILD = fileURLToPath(new URL('../../kit/node-child.ts', import.meta.url));
const CALM = { least: 0, most: 0, seed: 1 };
const portOf = (url: string) => Number(new URL(url).port);

/** The same server at another address. */
function at(url: string, host: string, port: number): string {
  const moved = new URL(url);
  moved.hostname = host;
  moved.port = String(port);
  return moved.href;
}

withEngines(() => {
  let engines: Engines;
  beforeAll(async () => {
    engines = await startEngines();
  }, 60_000);
  afterAll(() => engines.end());

  async function person(server: TestServer, board: TestBoard, role: 'lead' | 'join' | 'watch') {
    const roamer = new Roamer(board.id, await server.visit(board, role));
    onTestFinished(() => roamer.drop());
    return roamer;
  }
  const name = (author: Roamer, text: string) =>
    author.edit(saidBy(author.visitor.participant), (doc) => writeName(doc, text));
  const sees = (reader: Roamer, author: Roamer) =>
    reader.family.find(saidBy(author.visitor.participant))?.getMap('me').get('name');
  const allSee = (readers: readonly Roamer[], author: Roamer, text: string) =>
    eventually(() => readers.every((each) => sees(each, author) === text), `all see "${text}"`);
  const untilSame = (people: readonly Roamer[]) =>
    eventually(
      () => people.every((each) => people[0] && sameFamilies(each.family, people[0].family)),
      'all see the same',
    );

  /** A server in a network of its own, whose lines to the engines go over a cable that can be pulled. */
  async function onAnIsland(databaseUrl: string) {
    const island = makeIsland();
    const line = (url: string) =>
      startSlowLine(at(url, '127.0.0.1', portOf(url)), { ...CALM, at: island.mainland });
    const [postgres, redis] = [await line(databaseUrl), await line(engines.redis.url)];
    const there = (url: string, port: number) => at(url, island.mainland, port);
    const args = [
      ...island.prefix.slice(1),
      process.execPath,
      '--import',
      'tsx',
      CHILD,
      testFolder(),
      there(databaseUrl, portOf(postgres.url)),
      there(engines.redis.url, portOf(redis.url)),
      '0.0.0.0',
    ];
    const child: ChildProcess = spawn(island.prefix[0] ?? 'ip', args, {
      stdio: ['ignore', 'pipe', 'inherit'],
    });
    onTestFinished(async () => {
      if (child.exitCode === null) {
        const ended = once(child, 'exit');
        child.kill('SIGKILL');
        await ended;
      }
      await postgres.end();
      await redis.end();
      island.end();
    });
    const [said] = await once(child.stdout ?? child, 'data');
    return { ...island, port: Number(String(said).trim()) };
  }

  const parts = canMakeIslands();
  if (!parts)
    test.skip(
      'a server that falls off the net could not be tried, because this process may not make network namespaces',
    );
  else
    test('a server that falls off the net shows nothing that is not kept and says so, the others go on, and when it is back nothing is lost on either side', async () => {
      const url = await engines.postgres.newDatabase();
      const mainland = await startNode(url, engines.redis.url);
      const island = await onAnIsland(url);
      const board = await mainland.create();
      const leader = await person(mainland, board, 'lead');
      const ivy = await person(mainland, board, 'join');
      const [ash, bo] = [
        await person(mainland, board, 'join'),
        await person(mainland, board, 'watch'),
      ];
      for (const each of [leader, ivy]) await each.goTo(mainland.port);
      for (const each of [ash, bo]) expect(await each.goTo(island.port, island.address)).toBe(true);
      const all = [leader, ivy, ash, bo];
      name(ash, 'before');
      await allSee(all, ash, 'before');

      island.pull();
      name(ash, 'written on the island');
      leader.edit(LEAD_DOCUMENT, (doc) => writePasses(doc, 7));
      name(ivy, 'written on the mainland');
      // The healthy side goes on at once.
      await allSee([leader], ivy, 'written on the mainland');
      await eventually(() => ivy.family.lead.getMap('choice').get('passes') === 7, 'Ivy sees it');
      // The other side is told, and shows nobody what is not kept.
      await eventually(() => ash.late && bo.late, 'the island says that it is late');
      expect(sees(bo, ash)).toBe('before');
      expect(sees(bo, ivy)).toBeUndefined();
      // Whoever comes over takes along what they wrote there.
      await ash.goTo(mainland.port);
      await allSee([leader, ivy], ash, 'written on the island');
      expect(ash.late).toBe(false);
      name(ash, 'written after the crossing');
      await allSee([leader, ivy], ash, 'written after the crossing');

      island.plug();
      await allSee([bo], ash, 'written after the crossing');
      await allSee([bo], ivy, 'written on the mainland');
      await eventually(() => !bo.late, 'the island says that it is over');
      await untilSame(all);
      expect(all.flatMap(({ refusals }) => refusals)).toEqual([]);
    }, 90_000);

  test('a server whose line to Redis is cut goes on by the database, as do the others', async () => {
    const url = await engines.postgres.newDatabase();
    const line = await startSlowLine(engines.redis.url, CALM);
    onTestFinished(() => line.end());
    const one = await startNode(url, engines.redis.url);
    const two = await startNode(url, at(engines.redis.url, '127.0.0.1', portOf(line.url)));
    const board = await one.create();
    const [ash, bo] = [await person(one, board, 'join'), await person(one, board, 'join')];
    await ash.goTo(one.port);
    await bo.goTo(two.port);
    name(ash, 'before');
    await allSee([bo], ash, 'before');
    line.cut();
    await eventually(() => two.reports.length > 0, 'it is told');
    name(ash, 'without Redis there');
    name(bo, 'without Redis here');
    await allSee([bo], ash, 'without Redis there');
    await allSee([ash], bo, 'without Redis here');
    line.mend();
    name(ash, 'with Redis again');
    await allSee([bo], ash, 'with Redis again');
    await untilSame([ash, bo]);
    expect([ash.late, bo.late]).toEqual([false, false]);
  }, 60_000);

  test('while PostgreSQL is slow people are told so, and what they write is kept in order and seen', async () => {
    const url = await engines.postgres.newDatabase();
    const line = await startSlowLine(url, CALM);
    onTestFinished(() => line.end());
    const one = await startNode(at(url, '127.0.0.1', portOf(line.url)), engines.redis.url);
    const two = await startNode(url, engines.redis.url);
    const board = await one.create();
    const [ash, bo] = [await person(one, board, 'join'), await person(one, board, 'join')];
    await ash.goTo(one.port);
    await bo.goTo(two.port);
    name(ash, 'before');
    await allSee([bo], ash, 'before');
    // There and back more than two seconds.
    line.slow({ least: 1100, most: 1300 });
    name(ash, 'slowly 1');
    name(bo, 'quickly');
    await eventually(() => ash.late, 'it is told that it is late');
    expect(bo.late).toBe(false);
    name(ash, 'slowly 2');
    await allSee([ash], bo, 'quickly');
    await allSee([bo], ash, 'slowly 2');
    line.slow({ least: 0, most: 0 });
    await eventually(() => !ash.late, 'it is over');
    await untilSame([ash, bo]);
    expect([...ash.refusals, ...bo.refusals]).toEqual([]);
  }, 60_000);
});
