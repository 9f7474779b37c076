import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, expect, onTestFinished, test } from 'vitest';
import { saidBy } from '../../../shared/board/roles';
import { writeName } from '../../../shared/board/write';
import type { Engines } from '../../kit/engine-servers';
import { startEngines } from '../../kit/engine-servers';
import { withEngines } from '../../kit/engines';
import { startNode, untilAgreed } from '../../kit/nodes';
import { Peer } from '../../kit/peers';
import { testFolder } from '../../kit/server';

const CHILD = fileURLToPath(new URL('../../kit/node-child.ts', import.meta.url));

withEngines(() => {
  let engines: Engines;
  beforeAll(async () => {
    engines = await startEngines();
  }, 60_000);
  afterAll(() => engines.end());

  test('what anybody saw of a node that was then killed is on the others, and its people go on there', async () => {
    const url = await engines.postgres.newDatabase();
    const node = await startNode(url, engines.redis.url);
    const board = await node.create();
    const me = await node.visit(board, 'join');
    const watcher = await Peer.joined(node, board, await node.visit(board, 'watch'));
    const child = spawn(
      process.execPath,
      ['--import', 'tsx', CHILD, testFolder(), url, engines.redis.url],
      { stdio: ['ignore', 'pipe', 'inherit'] },
    );
    onTestFinished(() => {
      child.kill('SIGKILL');
    });
    const [line] = await once(child.stdout, 'data');
    const ash = await Peer.open({ port: Number(String(line).trim()) }, board, me);
    const beside = await Peer.open({ port: Number(String(line).trim()) }, board, {
      key: board.secrets.watch,
    });
    await ash.fetch('lead');
    const said = saidBy(me.participant);
    let turn = 0;
    const busy = setInterval(() => {
      turn += 1;
      if (!ash.closed) ash.edit(said, (doc) => writeName(doc, `Ash ${turn}`));
    }, 1);
    const named = (peer: Peer) => peer.family.find(said)?.getMap('me').get('name');
    await beside.until(() => named(beside) === 'Ash 40' || turn > 60);
    child.kill('SIGKILL');
    await beside.until(() => beside.closed !== undefined);
    clearInterval(busy);
    const seen = named(beside);
    expect(seen).toMatch(/^Ash \d+$/);
    const numberOf = (name: unknown) => Number(String(name).replace('Ash ', ''));
    const again = await Peer.joined(node, board, me);
    await again.settled();
    expect(numberOf(named(again))).toBeGreaterThanOrEqual(numberOf(seen));
    again.edit(said, (doc) => writeName(doc, 'Ash again'));
    await watcher.until(() => named(watcher) === 'Ash again');
    await untilAgreed([again, watcher]);
  }, 60_000);
});
