import { test } from '@playwright/test';
import type { Engines } from '../kit/engine-servers';
import { startEngines } from '../kit/engine-servers';
import type { Program } from '../kit/program';
import { startProgram } from '../kit/program';
import { wholeWay } from '../kit/whole-way';
import { hasEngines } from '../run/engines.mjs';

// These measure time on a machine that others may be using: what fails is measured again, twice at most, before it counts.
test.describe.configure({ retries: 2 });

test.describe('on one server', () => {
  let program: Program;
  test.beforeAll(async () => {
    program = await startProgram();
  });
  test.afterAll(async () => {
    await program.end();
  });

  test('a group takes a tune from plain to an agreed pass, and a killed server loses nothing', async ({
    browser,
  }) => {
    const { url, kill, startAgain } = program;
    const urls = { leader: url, ash: url, ivy: url, late: url };
    await wholeWay(browser, { urls, kill, startAgain, cutOff: ['leader', 'ash', 'ivy'] });
  });
});

test.describe('on three servers with PostgreSQL and Redis', () => {
  let engines: Engines;
  const nodes: Program[] = [];
  test.skip(
    !hasEngines() && process.env.PASSROUND_ENGINES !== 'required',
    'This could not run, because PostgreSQL and Redis are not installed here.',
  );
  test.beforeAll(async () => {
    test.setTimeout(180_000);
    engines = await startEngines();
    const env = {
      DATABASE_URL: await engines.postgres.newDatabase(),
      REDIS_URL: engines.redis.url,
    };
    for (let node = 0; node < 3; node += 1) nodes.push(await startProgram(env));
  });
  test.afterAll(async () => {
    for (const node of nodes) await node.end();
    await engines.end();
  });

  test('a group of whom each is on another server takes the same way, and one that is killed loses nothing', async ({
    browser,
  }) => {
    const [first, second, third] = nodes;
    if (!first || !second || !third) throw new RangeError('three servers are needed');
    const { kill, startAgain } = second;
    const urls = { leader: first.url, ash: second.url, ivy: third.url, late: third.url };
    await wholeWay(browser, { urls, kill, startAgain, cutOff: ['ash'] });
  });
});
