import type { Browser, BrowserContextOptions, Page } from '@playwright/test';
import type { Links } from './demo-visit';
import { visitor } from './demo-visit';
import type { Program } from './program';

/** Four measures of cut time, played twice: a pass of 16 beats. Ours, made for these tests. */
const SHORT = `X:1
T:Kettle on the Sill
M:2/2
L:1/8
K:G
P:A
|: "G"B2B2 B2B2 | "C"c2c2 c2c2 | "D"A2A2 A4 | "G"G4 G4 :|
`;

/** A new board with the short tune, through the same door as everybody. */
export async function shortBoard(program: Pick<Program, 'url'>): Promise<Links> {
  const response = await fetch(`${program.url}/api/boards`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ tune: { abc: SHORT } }),
  });
  if (response.status !== 201) throw new Error(`no board: ${await response.text()}`);
  return (await response.json()) as Links;
}

/** A leader's browser, after the passes were agreed: it stands on the play page. */
export async function leaderOf(
  browser: Browser,
  url: string,
  { board, links }: Links,
  passes: number,
  options: BrowserContextOptions = {},
): Promise<Page> {
  const page = await visitor(browser, url + links.lead, options);
  await page.locator('[data-live]').waitFor();
  await page.getByLabel('Passes, the first one plain').fill(String(passes));
  await page.getByRole('button', { name: 'Agreed', exact: true }).click();
  await page.getByRole('button', { name: 'Make the passes again' }).waitFor();
  await toPlay(page, url, board);
  return page;
}

/** Somebody's browser on the play page, come by the watch link. */
export async function playerOf(
  browser: Browser,
  url: string,
  { board, links }: Links,
  options: BrowserContextOptions = {},
): Promise<Page> {
  const page = await visitor(browser, url + links.watch, options);
  await toPlay(page, url, board);
  return page;
}

async function toPlay(page: Page, url: string, board: string): Promise<void> {
  await page.goto(`${url}/b/${board}/play`);
  // The book has come, and with it the clock.
  await page.locator('[data-testid=play][data-book=true]').waitFor();
  await page.locator('.play-time[data-within]').waitFor();
}

/** Starts at a tempo, from the pass that is shown. */
export async function start(leader: Page, bpm: number): Promise<void> {
  await leader.getByLabel('Beats a minute').fill(String(bpm));
  await leader.getByRole('button', { name: /Count in and start/ }).click();
}

/** When the mark came to a place, on the clock that all browsers of this machine share. */
export interface Step {
  readonly place: string;
  readonly atMs: number;
}

/** Notes down in the page when the mark comes to each slot. */
export async function noteSteps(page: Page): Promise<void> {
  await page.evaluate(() => {
    const root = document.querySelector<HTMLElement>('[data-testid=play]');
    if (!root) throw new Error('no play page');
    const steps: { place: string; atMs: number }[] = [];
    Object.assign(window, { steps });
    let before: string | undefined;
    new MutationObserver(() => {
      const { pass, visit, slot, place } = root.dataset;
      const here = place === 'playing' ? `${pass}/${visit}/${slot}` : undefined;
      // The first place that is seen may have been there for a while.
      if (here !== undefined && before !== undefined && here !== before)
        steps.push({ place: here, atMs: performance.timeOrigin + performance.now() });
      before = here ?? 'none';
    }).observe(root, { attributes: true });
  });
}

export function stepsOf(page: Page): Promise<readonly Step[]> {
  return page.evaluate(() => (window as unknown as { steps: Step[] }).steps);
}

/** For any two pages and every slot that both marked: how far apart they were, in ms, ascending. */
export async function skews(pages: readonly Page[]): Promise<readonly number[]> {
  const all = await Promise.all(pages.map(stepsOf));
  const apart: number[] = [];
  for (const [i, one] of all.entries()) {
    const times = new Map(one.map(({ place, atMs }) => [place, atMs]));
    for (const other of all.slice(i + 1))
      for (const { place, atMs } of other) {
        const there = times.get(place);
        if (there !== undefined) apart.push(Math.abs(atMs - there));
      }
  }
  return apart.sort((a, b) => a - b);
}

/** The value that a part of the sorted values does not exceed. */
export function quantile(sorted: readonly number[], part: number): number {
  return sorted[Math.min(sorted.length - 1, Math.floor(part * sorted.length))] ?? Number.NaN;
}
