import type { Page } from '@playwright/test';
import { expect, test } from '../kit/browser-test';
import type { Links } from '../kit/demo-visit';
import { demoBoard, visitor } from '../kit/demo-visit';
import type { Program } from '../kit/program';
import { startProgram } from '../kit/program';
import { startSlowLine } from '../kit/slow-line';

let program: Program;
let demo: Links;
test.beforeAll(async () => {
  program = await startProgram();
});
test.afterAll(async () => {
  await program.end();
});
test.beforeEach(async () => {
  demo = await demoBoard(program);
});

test('who was taken out while they were away is told so, and their browser keeps nothing of the board', async ({
  browser,
}) => {
  const at = (path: string) => `${program.url}/b/${demo.board}/${path}`;
  const student = await visitor(browser, program.url + demo.links.join);
  await student.locator('[data-live]').waitFor();
  await student.getByLabel('What do they call you?').fill('Hazel');
  await student.getByRole('button', { name: "That's me" }).click();
  await student.getByText('You are').waitFor();
  await student.goto(at('practice'));
  await student.getByRole('slider', { name: 'tempo', exact: true }).fill('80');
  const kept = async () => {
    const databases = await student.evaluate(async () =>
      (await indexedDB.databases()).map(({ name }) => name ?? ''),
    );
    const settings = await student.evaluate(() => Object.keys(localStorage));
    return [...databases, ...settings].filter((name) => name.includes(demo.board));
  };
  await expect.poll(async () => (await kept()).length).toBe(3);
  // A page of ours that opens no line.
  await student.goto(`${program.url}/`);
  const leader = await visitor(browser, program.url + demo.links.lead);
  await leader.goto(at('people'));
  await leader.locator('[data-live]').waitFor();
  await leader.getByRole('button', { name: /^take out Hazel/ }).click();
  await expect(leader.locator('[data-person]').filter({ hasText: 'Hazel' })).toHaveCount(0);
  expect(await kept()).toHaveLength(3);
  await student.goto(at('play'));
  await expect(
    student.getByRole('heading', { name: 'You are no longer on this board' }),
  ).toBeVisible();
  await expect.poll(kept).toEqual([]);
  const stranger = await visitor(browser, at('play'));
  await expect(stranger.getByRole('heading', { name: 'This board needs a link' })).toBeVisible();
});

test('a vote that came after the vote was closed stays out when it is open again, and later ones survive a lost page', async ({
  browser,
}) => {
  const line = await startSlowLine(program.url, { least: 0, most: 1, seed: 3 });
  try {
    const down = 'The line to the board is down.';
    const student = await visitor(browser, line.url + demo.links.join);
    await student.locator('[data-live]').waitFor();
    const approve = (page: Page, measure: number) =>
      page.getByRole('button', { name: new RegExp(`approve the plain measure ${measure}( |$)`) });
    const votesOn = async (page: Page, measure: number) => {
      const shown = page.locator(`[data-measure="m${measure}"] .plain [data-votes]`);
      return (await shown.count()) > 0 ? shown.first().getAttribute('data-votes') : '0';
    };
    const before = [await votesOn(student, 3), await votesOn(student, 4)];
    const leader = await visitor(browser, program.url + demo.links.lead);
    await leader.goto(`${program.url}/b/${demo.board}/people`);
    await leader.locator('[data-live]').waitFor();
    line.slow({ least: 1000, most: 1001 });
    await leader.getByRole('button', { name: 'Close voting' }).click();
    await expect(leader.getByRole('button', { name: 'Open voting again' })).toBeVisible();
    // The student has not heard of it yet.
    await approve(student, 3).click();
    await expect(student.getByText('This vote was not counted')).toBeVisible({ timeout: 15_000 });
    line.slow({ least: 0, most: 1 });
    await leader.getByRole('button', { name: 'Open voting again' }).click();
    await expect(leader.getByRole('button', { name: 'Close voting' })).toBeVisible();
    await expect(approve(student, 3)).toHaveAttribute('aria-pressed', 'false');
    line.cut();
    await expect(student.getByText(down)).toBeVisible();
    await approve(student, 4).click();
    await expect(approve(student, 4)).toHaveAttribute('aria-pressed', 'true');
    const context = student.context();
    await student.close();
    line.mend();
    const again = await context.newPage();
    await again.goto(`${line.url}/b/${demo.board}`);
    await again.locator('[data-live]').waitFor();
    await expect(approve(again, 4)).toHaveAttribute('aria-pressed', 'true');
    await expect(approve(again, 3)).toHaveAttribute('aria-pressed', 'false');
    await leader.goto(`${program.url}/b/${demo.board}`);
    await leader.locator('[data-live]').waitFor();
    await expect.poll(() => votesOn(leader, 4)).toBe(`${Number(before[1]) + 1}`);
    expect(await votesOn(leader, 3)).toBe(before[0]);
  } finally {
    await line.end();
  }
});
