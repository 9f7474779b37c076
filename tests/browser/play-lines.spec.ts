import { leaderOf, playerOf, shortBoard, start } from '../kit/band';
import { expect, test } from '../kit/browser-test';
import { visitor } from '../kit/demo-visit';
import type { Program } from '../kit/program';
import { startProgram } from '../kit/program';
import type { SlowLine } from '../kit/slow-line';
import { startSlowLine } from '../kit/slow-line';
import { YJS } from '../kit/yjs-script';

let program: Program;
let line: SlowLine;
test.beforeAll(async () => {
  program = await startProgram();
  line = await startSlowLine(program.url, { least: 1, most: 5, seed: 9 });
});
test.afterAll(async () => {
  await line.end();
  await program.end();
});

const DOWN = 'The line to the board is down.';

test('what a leader presses while their line is down happens at theirs at once, and at everybody’s when it is back', async ({
  browser,
}) => {
  const board = await shortBoard(program);
  const leader = await leaderOf(browser, line.url, board, 4);
  const player = await playerOf(browser, program.url, board);
  await start(leader, 60);
  await expect(player.locator('.play-place')).toContainText('Pass 1 of 4');
  line.cut();
  await expect(leader.getByText(DOWN)).toBeVisible();
  await leader.getByRole('button', { name: 'Stop' }).click();
  await expect(leader.locator('.play-place')).toContainText('Nobody is playing yet.');
  await expect(player.locator('.play-place')).toContainText('Pass 1 of 4');
  await start(leader, 80);
  await expect(leader.locator('.play-place')).toContainText('Counting in');
  line.mend();
  await expect(leader.getByText(DOWN)).toBeHidden();
  for (const page of [leader, player])
    await expect(page.locator('.play-left')).toContainText('80 beats a minute');
});

test('who is taken out is told so on the play page, which asks for nothing more', async ({
  browser,
}) => {
  const board = await shortBoard(program);
  const mine = await visitor(browser, program.url + board.links.join);
  await mine.goto(`${program.url}/b/${board.board}/people`);
  await mine.locator('[data-live]').waitFor();
  const play = await mine.context().newPage();
  await play.goto(`${program.url}/b/${board.board}/play`);
  await play.locator('.play-time[data-within]').waitFor();
  const sockets: string[] = [];
  play.on('websocket', (socket) => sockets.push(socket.url()));
  await mine.getByRole('button', { name: 'Take out what is mine' }).click();
  await mine.getByRole('button', { name: 'Take out everything now' }).click();
  await expect(play.getByText('You are no longer on this board')).toBeVisible();
  await expect(play.getByText(DOWN)).toBeHidden();
  await play.evaluate(() => window.dispatchEvent(new Event('online')));
  await expect(play.locator('.play-time')).toContainText('On its own clock');
  expect(sockets).toEqual([]);
});

test('a leader’s page whose further scripts do not come follows like everybody’s, and leads when they do', async ({
  browser,
}) => {
  const board = await shortBoard(program);
  const leader = await leaderOf(browser, program.url, board, 2);
  const second = await visitor(browser, program.url + board.links.lead);
  await second.locator('[data-live]').waitFor();
  const problems: string[] = [];
  second.on('pageerror', ({ message }) => problems.push(message));
  let kept = 0;
  let isBroken = true;
  await second.route('**/_next/static/chunks/*.js', async (route) => {
    const script = await route.fetch();
    if (isBroken && (await script.text()).includes(YJS)) {
      kept += 1;
      await route.abort();
    } else await route.fulfill({ response: script });
  });
  await second.goto(`${program.url}/b/${board.board}/play`);
  await second.locator('.play-time[data-within]').waitFor();
  await start(leader, 60);
  await expect(second.locator('.play-place')).toContainText('Pass 1 of 2');
  await expect(second.locator('[data-now]')).toBeVisible();
  await expect(second.getByRole('button', { name: 'Stop' })).toHaveCount(0);
  expect(kept).toBeGreaterThan(0);
  isBroken = false;
  await second.getByRole('button', { name: 'Stop' }).click();
  await expect(leader.locator('.play-place')).toContainText('Nobody is playing yet.');
  await expect(second.locator('.play-place')).toContainText('Nobody is playing yet.');
  expect(problems).toEqual([]);
});
