import { readFileSync } from 'node:fs';
import type { Page } from '@playwright/test';
import jsQR from 'jsqr';
import { expect, test } from '../kit/browser-test';
import type { Links } from '../kit/demo-visit';
import { agreedBoard, visitor } from '../kit/demo-visit';
import type { PageImage } from '../kit/poppler';
import { DOTS, pagesOf, textOf, withPoppler } from '../kit/poppler';
import { isInk, stavesOn } from '../kit/printed-staves';
import type { Program } from '../kit/program';
import { startProgram } from '../kit/program';

let program: Program;
let board: Links;
test.beforeAll(async () => {
  program = await startProgram();
  board = await agreedBoard(program);
});
test.afterAll(async () => {
  await program.end();
});

const at = (path: string) => `${program.url}${path}`;

/** White at every edge of the paper, in mm: the margins that the page asks for, less what a printer may be off. */
const MARGIN = 12;
/** What most printers cannot reach: below it stands the number of the page. Source: common practice, no source. */
const BARE = 5;
/** The example in the legend is narrower than this, every line of the tune wider, in mm. */
const WHOLE_LINE = 120;
/** Below the lowest line: stems and the letters of the thumb, in parts of the staff's height. Source: lib/engrave/sizes.ts, 41 of 40. */
const BELOW = 1.05;

function expectWhole(page: PageImage, width: number, height: number, name: string): void {
  const [w, h] = [page.width, page.height];
  expect(Math.abs(w / DOTS - width), name).toBeLessThan(1);
  expect(Math.abs(h / DOTS - height), name).toBeLessThan(1);
  const edge = MARGIN * DOTS;
  let outside = 0;
  let coloured = 0;
  for (let y = 0; y < h; y += 1)
    for (let x = 0; x < w; x += 1) {
      const isEdge = x < edge || y < edge || x >= w - edge || y >= h - BARE * DOTS;
      if (isEdge && isInk(page, x, y)) outside += 1;
      const i = (y * w + x) * 3;
      if (page.rgb[i] !== page.rgb[i + 1] || page.rgb[i] !== page.rgb[i + 2]) coloured += 1;
    }
  expect(outside, `${name}: ink in the margins`).toBe(0);
  expect(coloured, `${name}: colour`).toBe(0);
}

function scanned({ width, height, rgb }: PageImage): string | undefined {
  const rgba = new Uint8ClampedArray(width * height * 4).fill(255);
  for (let i = 0; i < width * height; i += 1)
    for (let c = 0; c < 3; c += 1) rgba[i * 4 + c] = rgb[i * 3 + c] ?? 0;
  return jsQR(rgba, width, height)?.data;
}

/** What a printed sheet must have, wherever it was printed. @param measures in lines of the tune, as the page on screen has them */
function expectSheet(
  pdf: Uint8Array,
  { size: [width, height], measures, perLine, code }: Wanted,
): void {
  const pages = pagesOf(pdf);
  for (const [i, page] of pages.entries()) expectWhole(page, width, height, `page ${i + 1}`);
  const lines = pages.flatMap((page) =>
    stavesOn(page)
      .filter(({ left, right }) => right - left > WHOLE_LINE * DOTS)
      .map((staff) => ({ ...staff, page })),
  );
  expect(lines.every((line) => line.measures === perLine)).toBe(true);
  expect(lines.reduce((sum, line) => sum + line.measures, 0)).toBe(measures);
  for (const { bottom, top, page } of lines)
    expect(bottom + BELOW * (bottom - top)).toBeLessThan(page.height - MARGIN * DOTS);

  const text = textOf(pdf);
  for (const i of pages.keys()) expect(text).toContain(`${i + 1} of ${pages.length}`);
  const order = [
    'Lantern on the Landing',
    'Tune to open G',
    'How to read the tab',
    'hard higher up the same string',
    'The plain tune',
    'One thing at a time',
    'drop thumbing',
    'What we play',
    'Pass 1: the plain tune',
    'Pass 3: the same as pass 2',
    'Said about it',
    'Look after your hands.',
  ].map((words) => text.indexOf(words));
  expect(order).toEqual(order.filter((place) => place >= 0).sort((a, b) => a - b));
  expect(pages[0] && scanned(pages[0])).toBe(code);
}

interface Wanted {
  readonly size: readonly [widthMm: number, heightMm: number];
  readonly measures: number;
  readonly perLine: number;
  readonly code: string;
}

/** Measures on the page: the plain tune, four for each embellishment that goes, and the one pass that is not like another. */
async function measuresOf(page: Page): Promise<number> {
  const ways = await page.locator('.sheet-block h3 .sheet-letter').count();
  expect(ways).toBeGreaterThan(4);
  expect(await page.locator('.sheet-line svg').count()).toBe(16 + 4 * ways + 16);
  return 16 + 4 * ways + 16;
}

withPoppler(() => {
  test("a leader's browser puts the join link on the sheet, and the server prints it on A4", async ({
    browser,
  }) => {
    const page = await visitor(browser, at(board.links.lead));
    await page.evaluate(
      (kept) => localStorage.setItem('passround.boards', JSON.stringify([kept])),
      { board: board.board, title: 'Lantern on the Landing', links: board.links },
    );
    await page.goto(at(`/b/${board.board}/sheet`));
    await expect(page.locator('.sheet-code')).toHaveCount(0);
    await page.getByLabel('code to scan').selectOption('join');
    await page.getByRole('button', { name: 'Show it so' }).click();
    await expect(page.getByText('Join this board')).toBeVisible();
    const addresses = [page.url()];
    page.on('request', (request) => addresses.push(request.url()));
    const download = page.waitForEvent('download');
    await page.getByRole('button', { name: 'Take it as PDF' }).click();
    const file = await download;
    expectSheet(readFileSync(await file.path()), {
      size: [210, 297],
      measures: await measuresOf(page),
      perLine: 4,
      code: at(board.links.join),
    });
    addresses.push(file.url());
    for (const link of Object.values(board.links))
      expect(addresses.join(' ')).not.toContain(link.replace('/join/', ''));
  });

  test("somebody pastes the watch link, not the leader's, and prints in large print on Letter", async ({
    browser,
  }) => {
    const page = await visitor(browser, at(board.links.join), { colorScheme: 'dark' });
    await page.goto(at(`/b/${board.board}/sheet?paper=Letter&large=yes&code=watch`));
    const field = page.getByLabel('This browser does not know the watch link');
    await field.fill(at(board.links.lead));
    await page.getByRole('button', { name: 'Draw the code' }).click();
    await expect(page.getByRole('alert').filter({ hasText: 'link for leaders' })).toBeVisible();
    await expect(page.locator('.sheet-code')).toHaveCount(0);
    await field.fill(at(board.links.watch));
    await page.getByRole('button', { name: 'Draw the code' }).click();
    await expect(page.getByText('Watch this board')).toBeVisible();
    expectSheet(await page.pdf({ preferCSSPageSize: true }), {
      size: [215.9, 279.4],
      measures: await measuresOf(page),
      perLine: 2,
      code: at(board.links.watch),
    });
  });
});
