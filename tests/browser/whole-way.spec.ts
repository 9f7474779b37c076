import type { Page } from '@playwright/test';
import { startBalancer } from '../kit/balancer';
import { leaderOf, noteSteps, playerOf, shortBoard, skews, start, stepsOf } from '../kit/band';
import { expect, test } from '../kit/browser-test';
import { visitor } from '../kit/demo-visit';
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
  let env: Readonly<Record<string, string>> = {};
  test.skip(
    !hasEngines() && process.env.PASSROUND_ENGINES !== 'required',
    'This could not run, because PostgreSQL and Redis are not installed here.',
  );
  test.beforeAll(async () => {
    test.setTimeout(180_000);
    engines = await startEngines();
    env = {
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

  test('while every server is replaced by a new one the pages of a group that plays keep one beat', async ({
    browser,
  }) => {
    test.setTimeout(180_000);
    const balancer = await startBalancer();
    for (const { url } of nodes) balancer.add(Number(new URL(url).port));
    const board = await shortBoard({ url: balancer.url });
    const small = { viewport: { width: 640, height: 480 } };
    const leader = await leaderOf(browser, balancer.url, board, 20, small);
    const player = await playerOf(browser, balancer.url, board, small);
    const band = [leader, player];
    for (const page of band) await noteSteps(page);
    await start(leader, 120);
    const marks = (page: Page, more: number) =>
      page.waitForFunction(
        (wanted) => (window as unknown as { steps: unknown[] }).steps.length >= wanted,
        more,
      );
    for (const page of band) await marks(page, 8);
    for (const old of nodes.splice(0)) {
      const next = await startProgram(env);
      nodes.push(next);
      balancer.add(Number(new URL(next.url).port));
      balancer.remove(Number(new URL(old.url).port));
      await old.stop();
      await old.end();
      const far = Math.max(
        ...(await Promise.all(band.map(async (page) => (await stepsOf(page)).length))),
      );
      for (const page of band) await marks(page, far + 8);
      for (const page of band)
        await expect(page.getByText('The line to the board is down.')).toBeHidden();
    }
    // A slot is 125 ms. Each mark is the next of the one before it on every page: nobody was thrown back or forward.
    const apart = await skews(band);
    test.info().annotations.push({
      type: 'measured',
      description: `${apart.length} slots marked by both, at most ${apart.at(-1)?.toFixed(1)} ms apart`,
    });
    expect(apart.length).toBeGreaterThan(40);
    expect(apart.at(-1)).toBeLessThan(125);
    for (const page of band) {
      const times = (await stepsOf(page)).map(({ atMs }) => atMs);
      const gaps = times.slice(1).map((atMs, at) => atMs - (times[at] ?? atMs));
      expect(Math.max(...gaps)).toBeLessThan(500);
    }
    await balancer.end();
  });

  test('while PostgreSQL is away the page says so, takes no change as kept, and all is seen when it is back', async ({
    browser,
  }) => {
    const [one, two] = nodes;
    if (!one || !two) throw new RangeError('two servers are needed');
    const board = await shortBoard(one);
    const ash = await visitor(browser, one.url + board.links.join);
    const ivy = await visitor(browser, two.url + board.links.join);
    const late = (page: Page) => page.getByText('The server cannot keep anything at the moment.');
    for (const page of [ash, ivy]) await page.locator('[data-live]').waitFor();
    await engines.postgres.stop();
    await ash.getByLabel('What do they call you?').fill('Ash');
    await ash.getByRole('button', { name: "That's me" }).click();
    for (const page of [ash, ivy]) await expect(late(page)).toBeVisible();
    await expect(ivy.getByText('Ash')).toHaveCount(0);
    // A page that is asked for now cannot be made, and a link not be opened: both say so.
    const lost = await ivy.context().newPage();
    await lost.goto(`${two.url}/b/${board.board}`);
    await expect(lost.getByRole('heading', { level: 1 })).toContainText('at the moment');
    const stranger = await visitor(browser, two.url + board.links.join);
    await expect(stranger.getByText('Links cannot be looked up at the moment.')).toBeVisible();
    await engines.postgres.start();
    for (const page of [ash, ivy]) await expect(late(page)).toBeHidden();
    await expect(ivy.getByText('Ash').first()).toBeVisible();
    await lost.getByRole('button', { name: 'Try again' }).click();
    await lost.locator('[data-live]').waitFor();
  });
});
