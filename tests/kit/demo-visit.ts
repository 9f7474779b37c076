import type { Browser, BrowserContextOptions, Page } from '@playwright/test';
import type { Program } from './program';

export interface Links {
  readonly board: string;
  readonly links: { readonly lead: string; readonly join: string; readonly watch: string };
}

/** A new board with the demo on it, through the same door as everybody. */
export async function demoBoard(program: Program): Promise<Links> {
  const response = await fetch(`${program.url}/api/boards`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ tune: { demo: true } }),
  });
  if (response.status !== 201) throw new Error(`no demo board: ${await response.text()}`);
  return (await response.json()) as Links;
}

/** A browser of its own that has opened a link. */
export async function visitor(
  browser: Browser,
  address: string,
  options: BrowserContextOptions = {},
): Promise<Page> {
  const page = await (await browser.newContext(options)).newPage();
  await page.goto(address);
  return page;
}
