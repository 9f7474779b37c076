import type { Page } from '@playwright/test';
import { faultsOf } from '../kit/axe';
import { leaderOf, playerOf, shortBoard, start } from '../kit/band';
import { expect, test } from '../kit/browser-test';
import { visitor } from '../kit/demo-visit';
import type { Program } from '../kit/program';
import { startProgram } from '../kit/program';

let program: Program;
test.beforeAll(async () => {
  program = await startProgram();
});
test.afterAll(async () => {
  await program.end();
});

async function named(page: Page, name: string): Promise<Page> {
  await page.locator('[data-live]').waitFor();
  await page.getByLabel('What do they call you?').fill(name);
  await page.getByRole('button', { name: "That's me" }).click();
  return page;
}

const column = (page: Page, measure: string) => page.locator(`[data-measure="${measure}"]`);

test('an exercise: measures are taken by one each, one clock counts for all, and what is put forward is gathered', async ({
  browser,
}) => {
  const { links } = await shortBoard(program);
  const leader = await visitor(browser, program.url + links.lead);
  await leader.locator('[data-live]').waitFor();
  const ash = await named(await visitor(browser, program.url + links.join), 'Ash');
  const phone = { viewport: { width: 390, height: 844 } };
  const sorrel = await named(await visitor(browser, program.url + links.join, phone), 'Sorrel');
  await leader.getByText('Set an exercise').click();
  await leader.getByRole('combobox', { name: 'Try', exact: true }).selectOption('slide');
  await leader
    .getByRole('combobox', { name: 'in', exact: true })
    .selectOption({ label: 'other measures' });
  await leader
    .getByRole('combobox', { name: 'from', exact: true })
    .selectOption({ label: 'measure 2' });
  await leader.getByRole('button', { name: 'Start the exercise' }).click();
  for (const page of [leader, ash, sorrel])
    await expect(
      page.getByRole('heading', { name: 'Exercise: slide in measures 2 to 4' }),
    ).toBeVisible();

  // The clock is the same for all, to the second, as they show it within one look of each other.
  const clocks = () =>
    Promise.all([leader, ash, sorrel].map((page) => page.getByRole('timer').textContent()));
  await expect.poll(async () => new Set(await clocks()).size).toBe(1);
  expect((await clocks())[0]).toMatch(/^(5:00|4:5\d)$/);

  // Ash takes a measure, Sorrel is given the next free one, and measure 1 is not in it.
  await expect(column(ash, 'm1').getByRole('button', { name: /I take it/ })).toHaveCount(0);
  await column(ash, 'm2').getByRole('button', { name: 'I take it' }).click();
  await expect(column(sorrel, 'm2').getByText('Ash is on it')).toBeVisible();
  await sorrel.getByRole('button', { name: 'Give me a free measure' }).click();
  await expect(column(sorrel, 'm3').getByText('Yours for the exercise')).toBeInViewport();
  await expect(leader.getByText('2 of 3 measures are taken.')).toBeVisible();

  // What is put forward in it stands together at everybody's.
  await column(ash, 'm2')
    .getByRole('button', { name: 'go on from it' })
    .or(column(ash, 'm2').getByRole('button', { name: 'vary it' }))
    .first()
    .click();
  await ash.locator('.idea, .offer').first().click();
  await ash.getByRole('button', { name: 'Put it forward' }).click();
  for (const page of [leader, sorrel])
    await expect(page.locator('.gathered li')).toContainText('Ash measure 2');
  expect(await faultsOf(sorrel)).toEqual([]);
  expect(await faultsOf(leader)).toEqual([]);
  await leader.getByRole('button', { name: 'Put the exercise away' }).click();
  await expect(sorrel.getByRole('timer')).toHaveCount(0);
});

/** Places in the first pass that are mine, and how their measures are drawn. */
async function mineOf(page: Page) {
  const visits = page.locator('.pass-now [data-visit]');
  return visits.evaluateAll((all) =>
    all.map((one) => ({
      mine: one.hasAttribute('data-mine'),
      drawn: one.querySelector('svg')?.outerHTML,
    })),
  );
}

test('round the circle everybody plays their own variant in their turn, on the page without scripts too', async ({
  browser,
}) => {
  const board = await shortBoard(program);
  const joined = await named(await visitor(browser, program.url + board.links.join), 'Ash');
  await joined.getByText('Ideas for the whole part').click();
  await joined.getByRole('combobox', { name: 'what', exact: true }).selectOption('double-thumb');
  await joined.getByRole('button', { name: 'Put all 4 forward' }).click();
  await expect(joined.locator('[data-variant]').first()).toBeVisible();
  const leader = await leaderOf(browser, program.url, board, 2);
  const play = `${program.url}/b/${board.board}/play`;
  await joined.goto(play);
  await joined.locator('[data-testid=play][data-book=true]').waitFor();
  const plain = await mineOf(joined);
  expect(plain.map(({ mine }) => mine)).not.toContain(true);
  await leader.getByLabel('Who plays what').selectOption('measure');
  await expect(leader.getByLabel('Ash')).toBeChecked();
  await start(leader, 40);
  await expect(joined.locator('.play-place')).toContainText('round the circle');
  await joined.locator('[data-testid=play][data-book=true]').waitFor();
  await leader.locator('[data-testid=play][data-book=true]').waitFor();
  const [ash, lead] = await Promise.all([joined, leader].map(mineOf));
  // Eight measures between two: every second one is mine, and what is mine is not the leader's.
  expect(ash?.filter(({ mine }) => mine)).toHaveLength(4);
  for (const [i, { mine }] of (ash ?? []).entries()) {
    expect(mine).toBe(!lead?.[i]?.mine);
    expect(mine).toBe(ash?.[(i + 2) % 8]?.mine);
  }
  const changed = ash?.filter(({ drawn }, i) => drawn !== plain[i]?.drawn) ?? [];
  expect(changed.length).toBeGreaterThan(0);
  for (const { mine } of changed) expect(mine).toBe(true);
  const still = await browser.newContext({
    javaScriptEnabled: false,
    storageState: await joined.context().storageState(),
  });
  const without = await still.newPage();
  await without.goto(play);
  expect((await mineOf(without)).map(({ mine }) => mine)).toEqual(ash?.map(({ mine }) => mine));
  expect(await faultsOf(joined)).toEqual([]);
});

test('who comes after the passes were made anew plays the old ones like everybody, until the stop', async ({
  browser,
}) => {
  const board = await shortBoard(program);
  const leader = await leaderOf(browser, program.url, board, 2);
  const player = await playerOf(browser, program.url, board);
  await start(leader, 40);
  await expect(player.locator('.play-place')).toContainText('Pass 1 of 2');
  // However long a slow machine takes for what follows, it is still the first pass.
  await leader.getByRole('button', { name: 'Keep this pass' }).click();
  const desk = await leader.context().newPage();
  await desk.goto(`${program.url}/b/${board.board}`);
  await desk.locator('[data-live]').waitFor();
  await desk.getByLabel('Passes, the first one plain').fill('3');
  const again = desk.getByRole('button', { name: 'Make the passes again' });
  await expect(again).toHaveAttribute('aria-disabled', 'false');
  await again.click();
  await desk.getByRole('link', { name: 'Play together' }).click();
  await expect(desk.locator('.play-place')).toContainText('Pass 1 of 2');
  const late = await playerOf(browser, program.url, board);
  const all = [leader, player, late, desk];
  for (const page of all) await expect(page.locator('.play-place')).toContainText('Pass 1 of 2');
  await leader.getByRole('button', { name: 'Stop' }).click();
  // Then all have the new ones, without loading the page again.
  for (const page of all) {
    await page.getByRole('link', { name: 'On to pass 2' }).click();
    await expect(page.getByRole('link', { name: 'On to pass 3' })).toBeVisible();
  }
});
