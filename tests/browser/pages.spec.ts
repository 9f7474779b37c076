import type { Page } from '@playwright/test';
import { faultsOf, overhang } from '../kit/axe';
import { expect, test } from '../kit/browser-test';
import type { Links } from '../kit/demo-visit';
import { demoBoard, visitor } from '../kit/demo-visit';
import type { Program } from '../kit/program';
import { startProgram } from '../kit/program';

let program: Program;
let demo: Links;
test.beforeAll(async () => {
  program = await startProgram();
  demo = await demoBoard(program);
});
test.afterAll(async () => {
  await program.end();
});

const at = (path: string) => `${program.url}${path}`;

/** The places of the program, each with how to come to it. */
const PLACES: readonly (readonly [string, (page: Page) => Promise<void>])[] = [
  ['the start', async (page) => void (await page.goto(at('/')))],
  ['a board without a link', async (page) => void (await page.goto(at('/b/nowhere')))],
  [
    'the board of a leader',
    async (page) => {
      await page.goto(at(demo.links.lead));
      await page.locator('[data-live]').waitFor();
    },
  ],
  [
    'the workbench',
    async (page) => {
      await page.goto(at(demo.links.join));
      await page.locator('[data-live]').waitFor();
      await page.getByRole('button', { name: 'vary it measure 2', exact: true }).click();
      await page.locator('.offer').first().waitFor();
    },
  ],
  [
    'the play page',
    async (page) => {
      await page.goto(at(demo.links.lead));
      await page.goto(at(`/b/${demo.board}/play`));
      await page.getByRole('button', { name: /Count in/ }).waitFor();
    },
  ],
];

for (const [name, go] of PLACES)
  for (const colorScheme of ['light', 'dark'] as const)
    for (const width of [1400, 390])
      test(`${name}, ${colorScheme}, ${width} px wide, has no faults that axe finds, and nothing sticks out`, async ({
        browser,
      }) => {
        const context = await browser.newContext({
          colorScheme,
          viewport: { width, height: 900 },
          hasTouch: width < 500,
        });
        const page = await context.newPage();
        await go(page);
        expect(await faultsOf(page)).toEqual([]);
        expect(await overhang(page)).toBe(0);
        await context.close();
      });

test('bad ABC is told with its line, its column and the reason, and makes no board', async ({
  browser,
}) => {
  const page = await visitor(browser, at('/'));
  const before = (await (await fetch(at('/api/health'))).json()) as { boards: number };
  await page
    .getByLabel('Paste it as ABC, or drop a file here')
    .fill('X:1\nT:Broken\nM:4/4\nL:1/8\nK:G\n|: G2 B2 d2 B2 | G2 B2 d2 :|\n');
  await page.getByRole('button', { name: 'Start a board' }).click();
  await expect(page.getByRole('alert').filter({ hasText: 'Line 6, column' })).toBeVisible();
  await expect(page).toHaveURL(at('/'));
  const after = (await (await fetch(at('/api/health'))).json()) as { boards: number };
  expect(after.boards).toBe(before.boards);
});

test('a watcher sees all and is offered nothing to write with', async ({ browser }) => {
  const page = await visitor(browser, at(demo.links.watch));
  await page.locator('[data-live]').waitFor();
  expect(await page.locator('.variant').count()).toBeGreaterThan(3);
  await expect(page.getByRole('button', { name: /vary it|approve|choose|go on/ })).toHaveCount(0);
  await expect(page.getByText('What do they call you?')).toHaveCount(0);
});

test('a variant is proposed and approved with the keyboard alone', async ({ browser }) => {
  const page = await visitor(browser, at(demo.links.join));
  await page.locator('[data-live]').waitFor();
  const column = page.locator('[data-measure="m3"]');
  const before = await column.locator('.variant').count();
  await page.getByRole('button', { name: 'vary it measure 3', exact: true }).focus();
  await page.keyboard.press('Enter');
  await page.locator('.grid-bench [tabindex="0"]').focus();
  await page.keyboard.press('ArrowRight');
  await page.keyboard.press('ArrowDown');
  await page.keyboard.press('ArrowDown');
  await page.keyboard.press('t');
  const put = page.getByRole('button', { name: 'Put it forward' });
  await expect(put).toHaveAttribute('aria-disabled', 'false');
  await put.focus();
  await page.keyboard.press('Enter');
  await expect(column.locator('.variant')).toHaveCount(before + 1);
  const approve = column
    .locator('.variant')
    .last()
    .getByRole('button', { name: /approve/ });
  await approve.focus();
  await page.keyboard.press('Space');
  await expect(approve).toHaveAttribute('aria-pressed', 'true');
});

/**
 * Bytes of script a page loads, uncompressed as the browser counts them decoded. Raise one only with a reason in the commit.
 * Recorded from the first build of all three pages: what Next and React bring is most of it.
 */
const BUDGETS: readonly (readonly [string, () => string, number])[] = [
  ['the start', () => '/', 900_000],
  ['the board', () => `/b/${demo.board}`, 1_200_000],
  ['the play page', () => `/b/${demo.board}/play`, 1_200_000],
  ['the sheet', () => `/b/${demo.board}/sheet`, 700_000],
];

for (const [name, path, budget] of BUDGETS)
  test(`${name} loads no more script than its budget`, async ({ browser }) => {
    const page = await visitor(browser, at(demo.links.join));
    await page.goto(at(path()), { waitUntil: 'networkidle' });
    const bytes = await page.evaluate(() =>
      performance
        .getEntriesByType('resource')
        .map((entry) => entry as PerformanceResourceTiming)
        .filter((entry) => entry.initiatorType === 'script' || entry.name.endsWith('.js'))
        .reduce((sum, entry) => sum + entry.decodedBodySize, 0),
    );
    test.info().annotations.push({ type: 'measured', description: `${name}: ${bytes} bytes` });
    expect(bytes).toBeGreaterThan(0);
    expect(bytes).toBeLessThanOrEqual(budget);
  });

test('the workbench says what a teacher would: a broken draft at its stroke, ideas at a level, fingers, and an exercise for a part', async ({
  browser,
}) => {
  const page = await visitor(browser, at(demo.links.lead));
  await page.locator('[data-live]').waitFor();
  await page.getByRole('button', { name: 'vary it measure 3', exact: true }).click();
  const verdict = (id: string) => page.locator(`[data-judgement=${id}]`);
  for (const id of ['fits', 'playable', 'tune', 'joins', 'level'])
    await expect(verdict(id)).toHaveAttribute('data-verdict', 'yes');

  // A fret that nobody reaches in time from the one before, at the stroke that it is about.
  await page.locator('.grid-bench [tabindex="0"]').focus();
  await page.keyboard.press('t');
  await expect(verdict('fits')).toHaveAttribute('data-verdict', 'no');
  await expect(verdict('fits')).toContainText('where the hand goes down');
  await expect(page.locator('.bench-hand .tab-warning').first()).toBeVisible();
  await page.keyboard.press('Control+z');
  await expect(verdict('fits')).toHaveAttribute('data-verdict', 'yes');

  // Ideas go into the grid and out again.
  const idea = page.locator('[data-idea]').first();
  await expect(idea).toContainText(/Level [12], \d+ % like the tune/);
  await idea.click();
  await expect(verdict('tune')).toHaveAttribute('data-verdict', 'yes');
  await page.getByLabel("show the left hand's fingers").check();
  await expect(page.locator('.bench-hand .tab-finger').first()).toBeVisible();
  await page.getByRole('button', { name: /^undo/ }).click();
  await expect(page.getByRole('button', { name: 'Put it forward' })).toHaveAttribute(
    'aria-disabled',
    'true',
  );
  await page.getByRole('button', { name: 'Leave it' }).click();

  // A whole part at once.
  await page.getByText('Ideas for the whole part').first().click();
  await page.locator('.exercise select').selectOption('hammer-on');
  const before = await page.locator('.variant').count();
  const all = page.getByRole('button', { name: /^Put (it|all \d+) forward$/ });
  const count = Number(/\d+/.exec((await all.textContent()) ?? '')?.[0] ?? 1);
  await all.click();
  await expect(page.locator('.variant')).toHaveCount(before + count);
});

test('a tune from the shelf becomes a board', async ({ browser }) => {
  const page = await visitor(browser, at('/'));
  await page.getByLabel('or take one from the shelf').selectOption({ label: 'Yankee Doodle' });
  await expect(page.getByText('older in England')).toBeVisible();
  await page.getByRole('button', { name: 'Start a board' }).click();
  const open = page.getByRole('link', { name: 'Open the board' });
  const heading = page.getByRole('heading', { name: 'Yankee Doodle' });
  await expect(open.or(heading)).toBeVisible();
  if (await open.isVisible()) await open.click();
  await expect(heading).toBeVisible();
});

test('a leader corrects the plain tune in the same grid, and its name; everybody sees it', async ({
  browser,
}) => {
  const own = await demoBoard(program);
  const leader = await visitor(browser, at(own.links.lead));
  await leader.locator('[data-live]').waitFor();
  const student = await visitor(browser, at(own.links.join));
  await student.locator('[data-live]').waitFor();
  const plain = student.locator('[data-measure=m7] .plain svg').first();
  await expect(plain).toHaveAttribute('aria-label', /string 3 at fret 2/);
  await leader.getByRole('button', { name: 'vary it measure 7', exact: true }).click();
  await leader.locator('.grid-bench [tabindex="0"]').focus();
  await leader.keyboard.press('4');
  await leader.getByRole('button', { name: 'Make it the plain measure' }).click();
  await expect(plain).toHaveAttribute('aria-label', /string 3 at fret 4/);

  await leader.getByText("The tune's name and tempo").click();
  await leader.getByLabel('Name', { exact: true }).fill('Lantern on the Stairs');
  await leader.keyboard.press('Tab');
  for (const page of [leader, student])
    await expect(page.getByRole('heading', { name: 'Lantern on the Stairs' })).toBeVisible();
  await student.getByRole('button', { name: 'vary it measure 7', exact: true }).click();
  await expect(student.getByRole('button', { name: 'Make it the plain measure' })).toHaveCount(0);
});

test('a tune is looked at first, tried in another setting, and starts in the one that was chosen', async ({
  browser,
}) => {
  const page = await visitor(browser, at('/'));
  const health = async () =>
    ((await (await fetch(at('/api/health'))).json()) as { boards: number }).boards;
  const before = await health();
  await page.getByLabel('or take one from the shelf').selectOption({ label: 'Oh! Susanna' });
  await page.getByRole('button', { name: 'Look at it first' }).click();
  await expect(page.getByText(/\d+ of \d+ melody notes are kept/)).toBeVisible();
  await expect(page.locator('[data-preview] svg')).toHaveCount(17);
  expect(await faultsOf(page)).toEqual([]);
  const other = page.getByRole('button', { name: /^gCGBD, drop C/ });
  await other.click();
  await expect(page.getByText(/^drop C, gCGBD/)).toBeVisible();
  expect(await health()).toBe(before);
  await page.getByRole('button', { name: 'Start a board' }).click();
  const open = page.getByRole('link', { name: 'Open the board' });
  const heading = page.getByRole('heading', { name: 'Oh! Susanna', level: 1 });
  await expect(open.or(heading)).toBeVisible();
  if (await open.isVisible()) await open.click();
  await expect(page.getByText(/drop C, gCGBD/)).toBeVisible();
  expect(await health()).toBe(before + 1);
});

test('a board that was taken away as MusicXML, MIDI or JSON starts a new one', async ({
  browser,
}) => {
  const own = await demoBoard(program);
  const secret = own.links.join.split('/').at(-1) ?? '';
  for (const [format, ending] of [
    ['musicxml', 'musicxml'],
    ['midi', 'mid'],
    ['json', 'json'],
  ] as const) {
    const file = await fetch(at(`/api/boards/${own.board}/export/${format}?key=${secret}`));
    expect(file.status).toBe(200);
    const page = await visitor(browser, at('/'));
    await page.getByLabel(/^or choose a file/).setInputFiles({
      name: `lantern.${ending}`,
      mimeType: 'application/octet-stream',
      buffer: Buffer.from(await file.arrayBuffer()),
    });
    await page.getByRole('button', { name: `Start a board from lantern.${ending}` }).click();
    const open = page.getByRole('link', { name: 'Open the board' });
    const board = page.locator('[data-live]');
    await expect(open.or(board)).toBeVisible();
    if (await open.isVisible()) await open.click();
    await expect(page.locator('.plain svg')).toHaveCount(16);
    await expect(page.locator('.variant')).toHaveCount(format === 'json' ? 8 : 0);
  }
});
