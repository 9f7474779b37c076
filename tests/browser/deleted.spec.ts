import type { Page } from '@playwright/test';
import { expect, test } from '../kit/browser-test';
import type { Links } from '../kit/demo-visit';
import { agreedBoard, visitor } from '../kit/demo-visit';
import type { Program } from '../kit/program';
import { startProgram } from '../kit/program';

const TOKEN = 'a token of the operator for tests';
let program: Program;
let board: Links;
test.beforeAll(async () => {
  program = await startProgram({ BACKUP_TOKEN: TOKEN });
});
test.afterAll(async () => {
  await program.end();
});
test.beforeEach(async () => {
  board = await agreedBoard(program);
});

/** A page of the board in a browser of its own, and how often it has opened a line since it was asked the last time. */
async function opened(browser: Parameters<typeof visitor>[0], link: string, path: string) {
  const dark = path.endsWith('/play');
  const page = await visitor(browser, `${program.url}${link}`, {
    colorScheme: dark ? 'dark' : 'light',
    viewport: dark ? { width: 390, height: 844 } : { width: 1280, height: 900 },
  });
  // The link leads to the board, which has opened a line of its own.
  await page.goto('about:blank');
  let [lines, frames] = [0, 0];
  page.on('websocket', (line) => {
    lines += 1;
    line.on('framereceived', () => {
      frames += 1;
    });
  });
  await page.goto(`${program.url}/b/${board.board}${path}`);
  await expect.poll(() => frames).toBeGreaterThan(0);
  const newLines = () => {
    const count = lines;
    lines = 0;
    return count;
  };
  return { page, newLines };
}

/** The page says that the board was deleted, and where one can go from here. */
async function saysDeleted(page: Page): Promise<void> {
  const notice = page.getByRole('status').filter({ hasText: 'not on the server any more' });
  await expect(notice).toBeVisible();
  await expect(notice.getByRole('link', { name: 'Start a board of your own' })).toBeVisible();
  await expect(page.getByText('The line to the board is down')).toHaveCount(0);
}

test('[R26] a board that the operator deletes is told on every page that has it open, with a way on, and no page tries again', async ({
  browser,
}) => {
  const { lead, join, watch } = board.links;
  const pages = [
    await opened(browser, lead, ''),
    await opened(browser, join, '/play'),
    await opened(browser, lead, '/play'),
    await opened(browser, join, '/practice'),
    await opened(browser, watch, '/passes'),
    await opened(browser, join, '/people'),
  ];
  expect(pages.map(({ newLines }) => newLines())).toEqual([1, 1, 1, 1, 1, 1]);
  for (const { page } of pages) await page.clock.install();
  const deleted = await fetch(`${program.url}/api/boards/${board.board}`, {
    method: 'DELETE',
    headers: { authorization: `Bearer ${TOKEN}` },
  });
  expect(deleted.status).toBe(204);
  for (const { page } of pages) await saysDeleted(page);
  // Whatever makes a page try a lost line: the pauses between tries go by, a network comes, somebody looks again.
  for (const { page } of pages) {
    await page.clock.fastForward(60_000);
    await page.evaluate(() => {
      window.dispatchEvent(new Event('online'));
      document.dispatchEvent(new Event('visibilitychange'));
    });
    await page.clock.fastForward(60_000);
  }
  expect(pages.map(({ newLines }) => newLines())).toEqual([0, 0, 0, 0, 0, 0]);
  for (const { page } of pages) {
    await saysDeleted(page);
    await page.reload();
    await expect(
      page.getByRole('heading', { name: 'This board is not here any more' }),
    ).toBeVisible();
    await page.getByRole('link', { name: 'Start a board of your own' }).click();
    await expect(page).toHaveURL(`${program.url}/`);
  }
});
