import { readFileSync } from 'node:fs';
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

test('a sheet has what was asked for and nothing else, without scripts too', async ({
  browser,
}) => {
  const page = await visitor(browser, at(demo.links.join), { javaScriptEnabled: false });
  await page.goto(at(`/b/${demo.board}/sheet`));
  await expect(page.getByRole('heading', { name: 'Tune to open G' })).toBeVisible();
  await expect(page.getByRole('row', { name: 'sounds G4 D3 G3 B3 D4' })).toBeVisible();
  await expect(page.getByRole('heading', { name: 'One thing at a time' })).toBeVisible();
  // 16 plain measures, and 4 for each embellishment that goes into the first line.
  const drawn = await page.locator('.sheet-line svg').count();
  const ways = await page.locator('.sheet-block h3 .sheet-letter').count();
  expect(ways).toBeGreaterThan(4);
  expect(drawn).toBe(16 + 4 * ways);
  await expect(page.getByText('Said about it')).toBeVisible();

  await page.getByText('Take it away as a file').click();
  for (const [name, type] of [
    ['MusicXML', 'musicxml+xml'],
    ['MIDI', 'audio/midi'],
    ['ABC', 'text/vnd.abc'],
    ['the whole board', 'application/json'],
    ['the music alone', 'application/json'],
  ] as const) {
    const link = page.getByRole('link', { name, exact: true });
    await expect(link).toBeVisible();
    const file = await page.request.get(at((await link.getAttribute('href')) ?? ''));
    expect([file.status(), file.headers()['content-type']]).toEqual([
      200,
      expect.stringContaining(type),
    ]);
  }

  await page.getByLabel('one block for each embellishment').uncheck();
  await page.getByLabel('how to read the tab').uncheck();
  await page.getByLabel('paper').selectOption('Letter');
  await page.getByRole('button', { name: 'Show it so' }).click();
  await expect(page.getByText('Tune to open G')).toHaveCount(0);
  await expect(page.locator('.sheet-line svg')).toHaveCount(16);
  await expect(page.locator('main')).toHaveAttribute('data-paper', 'Letter');
});

test('the printed sheet breaks no line of tab, on both papers', async ({ browser }) => {
  const page = await visitor(browser, at(demo.links.join));
  for (const [paper, width, height] of [
    ['A4', 595, 842],
    ['Letter', 612, 792],
  ] as const) {
    await page.goto(at(`/b/${demo.board}/sheet?paper=${paper}`));
    const pdf = (await page.pdf({ preferCSSPageSize: true })).toString('latin1');
    const boxes = [...pdf.matchAll(/\/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]/g)];
    expect(boxes.length).toBeGreaterThan(1);
    for (const [, x, y] of boxes) {
      expect(Math.abs(Number(x) - width)).toBeLessThan(2);
      expect(Math.abs(Number(y) - height)).toBeLessThan(2);
    }
  }
  await page.emulateMedia({ media: 'print' });
  const broken = await page
    .locator('.sheet-line')
    .evaluateAll((items) => items.filter((item) => getComputedStyle(item).breakInside !== 'avoid'));
  expect(broken).toEqual([]);
  await expect(page.getByRole('button', { name: 'Print' })).toBeHidden();
});

test('the sheet is had as PDF from the server, on the paper that was asked for', async ({
  browser,
}) => {
  const page = await visitor(browser, at(demo.links.join));
  await page.goto(at(`/b/${demo.board}/sheet`));
  await page.getByLabel('paper').selectOption('Letter');
  const download = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Take it as PDF' }).click();
  const file = readFileSync(await (await download).path()).toString('latin1');
  expect(file.startsWith('%PDF-')).toBe(true);
  const boxes = [...file.matchAll(/\/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]/g)];
  expect(boxes.length).toBeGreaterThan(1);
  for (const [, x] of boxes) expect(Math.abs(Number(x) - 612)).toBeLessThan(2);

  const stranger = await fetch(at(`/api/boards/${demo.board}/export/pdf`));
  expect(stranger.status).toBe(403);
});

for (const colorScheme of ['light', 'dark'] as const)
  for (const width of [1200, 390])
    test(`the sheet, ${colorScheme}, ${width} px wide, has no faults that axe finds, and nothing sticks out`, async ({
      browser,
    }) => {
      const page = await visitor(browser, at(demo.links.join), {
        colorScheme,
        viewport: { width, height: 900 },
      });
      await page.goto(at(`/b/${demo.board}/sheet`));
      expect(await faultsOf(page)).toEqual([]);
      expect(await overhang(page)).toBe(0);
    });
