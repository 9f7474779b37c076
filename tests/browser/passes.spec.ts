import type { Page } from '@playwright/test';
import { faultsOf, overhang } from '../kit/axe';
import { expect, test } from '../kit/browser-test';
import type { Links } from '../kit/demo-visit';
import { demoBoard, visitor } from '../kit/demo-visit';
import type { Program } from '../kit/program';
import { startProgram } from '../kit/program';

let program: Program;
test.beforeAll(async () => {
  program = await startProgram();
});
test.afterAll(async () => {
  await program.end();
});

const at = (path: string) => `${program.url}${path}`;

async function toPasses(page: Page, { board }: Links): Promise<void> {
  await page.goto(at(`/b/${board}/passes`));
  await page.locator('[data-live]').waitFor();
  await page.getByTestId('standing').waitFor();
}

const cell = (page: Page, pass: number, measure: string) =>
  page.locator(`[data-cell="${pass - 1}/${measure}"]`);

test('a leader publishes, locks, swaps and is told of a contradiction; votes change nothing until published again', async ({
  browser,
}) => {
  const demo = await demoBoard(program);
  const leader = await visitor(browser, at(demo.links.lead));
  await toPasses(leader, demo);
  const standing = leader.getByTestId('standing');
  await expect(standing).toContainText('Nothing is published yet');
  await expect(leader.locator('.cell')).toHaveCount(6 * 16);
  await leader.getByRole('button', { name: 'Agreed: publish these passes' }).click();
  await expect(standing).toContainText('These are the published passes');

  // The first pass is plain, and says why; a voted cell says who wants it.
  await cell(leader, 1, 'm1').click();
  await expect(leader.getByTestId('why')).toHaveText('Plain because pass 1 is played plain.');
  await cell(leader, 3, 'm1').click();
  await expect(leader.getByTestId('why')).toContainText(/Here because \d of 4 approves? it/);

  // A lock by keyboard, and a swap with the pass below: both cells are the leader's then.
  await cell(leader, 2, 'm1').focus();
  await leader.keyboard.press('l');
  await expect(cell(leader, 2, 'm1')).toHaveAttribute('data-locked', 'true');
  await expect(leader.getByTestId('why')).toHaveText('Here because the leader locked it.');
  const above = await cell(leader, 2, 'm1').locator('b').textContent();
  await cell(leader, 2, 'm1').focus();
  await leader.keyboard.press('Alt+ArrowDown');
  await expect(cell(leader, 3, 'm1')).toHaveAttribute('data-locked', 'true');
  await expect(cell(leader, 3, 'm1').locator('b')).toHaveText(above ?? 'nobody');

  // What cannot be is said in words, and the way out works.
  const here = leader.getByLabel('Play here');
  await cell(leader, 1, 'm1').click();
  await here.selectOption({ index: 1 });
  await expect(leader.locator('.reason')).toContainText('pass 1 is to be played plain');
  await leader.getByLabel('pass 1 is plain').uncheck();
  await expect(leader.locator('.reason')).toHaveCount(0);
  await expect(standing).not.toHaveAttribute('data-changed', '0');

  // A student's vote shows what would change; what is published stays.
  await leader.getByRole('button', { name: 'Agreed: publish these passes' }).click();
  await expect(standing).toHaveAttribute('data-changed', '0');
  await leader.goto(at(`/b/${demo.board}`));
  await leader.getByRole('button', { name: 'Open the vote again' }).click();
  const student = await visitor(browser, at(demo.links.join));
  await student.locator('[data-live]').waitFor();
  await student.getByRole('button', { name: /^approve the plain measure 2 / }).click();
  await toPasses(leader, demo);
  await expect(standing).toContainText(/cells? differs? from the published passes/);
});

test('everybody sees how much of what they approved is heard, and where nothing has been tried', async ({
  browser,
}) => {
  const demo = await demoBoard(program);
  const watcher = await visitor(browser, at(demo.links.watch));
  await toPasses(watcher, demo);
  await expect(watcher.locator('.heard li')).toHaveCount(4);
  await expect(watcher.locator('.heard li').first()).toContainText(/\d+ %/);
  await watcher.getByRole('button', { name: 'bare spots' }).click();
  await expect(watcher.getByText(/\d+ of \d+ melody notes have nothing on them yet/)).toBeVisible();
  await expect(watcher.locator('[data-spot=played]').first()).toBeVisible();
  await expect(watcher.getByRole('button', { name: /publish|lock|swap/ })).toHaveCount(0);
});

test('32 measures by 20 passes stand in the grid, and a lock there is answered', async ({
  browser,
}) => {
  const measure = (one: number) => ['G2B2 d2B2', 'A2B2 A2G2', 'B2d2 B4', 'd2B2 A4'][one % 4];
  const part = (from: number) =>
    `|: ${Array.from({ length: 16 }, (_, i) => measure(from + i)).join(' | ')} :|`;
  const response = await fetch(at('/api/boards'), {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({
      tune: { abc: `X:1\nT:Long\nM:2/2\nL:1/8\nK:G\n${part(0)}\n${part(1)}\n` },
    }),
  });
  const long = (await response.json()) as Links;
  const leader = await visitor(browser, at(long.links.lead));
  await toPasses(leader, long);
  await leader.getByLabel('Passes', { exact: true }).fill('20');
  await expect(leader.locator('.cell')).toHaveCount(640);
  await cell(leader, 20, 'm32').click();
  await leader.keyboard.press('l');
  await expect(cell(leader, 20, 'm32')).toHaveAttribute('data-locked', 'true');
});

for (const colorScheme of ['light', 'dark'] as const)
  for (const width of [1400, 390])
    test(`the page of passes, ${colorScheme}, ${width} px wide, has no faults that axe finds, and nothing sticks out`, async ({
      browser,
    }) => {
      const demo = await demoBoard(program);
      const page = await visitor(browser, at(demo.links.lead), {
        colorScheme,
        viewport: { width, height: 900 },
        hasTouch: width < 500,
      });
      await toPasses(page, demo);
      expect(await faultsOf(page)).toEqual([]);
      expect(await overhang(page)).toBe(0);
      await page.getByRole('button', { name: 'bare spots' }).click();
      expect(await faultsOf(page)).toEqual([]);
    });
