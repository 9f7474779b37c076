import type { Browser, BrowserContextOptions, Page } from '@playwright/test';
import type { BoardId } from '../../lib/units';
import { savedBoardOf } from '../../shared/api/saved-board';
import { demoDocuments } from '../../shared/board/demo';
import { readBoard } from '../../shared/board/read';
import type { Program } from './program';

export interface Links {
  readonly board: string;
  readonly links: { readonly lead: string; readonly join: string; readonly watch: string };
}

/** A new board of this tune, as a request names it. */
export async function boardOf(program: Program, tune: unknown): Promise<Links> {
  const response = await fetch(`${program.url}/api/boards`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ tune }),
  });
  if (response.status !== 201) throw new Error(`no board: ${await response.text()}`);
  return (await response.json()) as Links;
}

/** A new board with the demo on it, through the same door as everybody. */
export function demoBoard(program: Program): Promise<Links> {
  return boardOf(program, { demo: true });
}

/** A new board with the demo and three agreed passes: the plain tune, one that plays the first variant of each measure, and that again. */
export function agreedBoard(program: Program): Promise<Links> {
  const family = demoDocuments();
  const board = readBoard('demodemodemo' as BoardId, family);
  if (!board) throw new Error('no demo');
  const chosen = new Map(board.variants.toReversed().map((one) => [one.measure, one]));
  const varied = Object.fromEntries([...chosen].map(([measure, { id }]) => [measure, id]));
  const variants = Object.fromEntries(
    [...chosen].map(([measure, { id, strokes }]) => [id, { measure, strokes, by: 'Wren' }]),
  );
  const agreed = { ...board, plan: { passes: [{}, varied, varied], variants } };
  return boardOf(program, { board: savedBoardOf(agreed, 'board') });
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
