import type { Page } from '@playwright/test';
import type { Step } from '../kit/band';
import { leaderOf, noteSteps, playerOf, quantile, shortBoard, start, stepsOf } from '../kit/band';
import { expect, test } from '../kit/browser-test';
import type { Program } from '../kit/program';
import { startProgram } from '../kit/program';
import type { SlowLine } from '../kit/slow-line';
import { startSlowLine } from '../kit/slow-line';

// These measure time on a machine that others may be using: what fails is measured again, twice at most, before it counts.
test.describe.configure({ retries: 2 });

let program: Program;
let line: SlowLine;
test.beforeAll(async () => {
  program = await startProgram();
  line = await startSlowLine(program.url, { least: 5, most: 15, seed: 8 });
});
test.afterAll(async () => {
  await line.end();
  await program.end();
});

/** What a page said of its beat from a moment on. */
interface Said {
  readonly atMs: number;
  readonly words: string;
  /** In time within so many ms. */
  readonly within: number;
}

/** Notes down whenever the page says something else of its beat. */
async function noteSaid(page: Page): Promise<void> {
  await page.evaluate(() => {
    const shown = document.querySelector<HTMLElement>('.play-time');
    if (!shown) throw new Error('the page says nothing of its beat');
    const said: Said[] = [];
    Object.assign(window, { said });
    const note = () =>
      said.push({
        atMs: performance.timeOrigin + performance.now(),
        words: shown.textContent ?? '',
        within: Number(shown.dataset.within),
      });
    note();
    new MutationObserver(note).observe(shown, {
      attributes: true,
      characterData: true,
      subtree: true,
    });
  });
}

const saidBy = (page: Page): Promise<readonly Said[]> =>
  page.evaluate(() => (window as unknown as { said: Said[] }).said);

const saidAt = (said: readonly Said[], atMs: number): Said | undefined =>
  said.findLast((one) => one.atMs <= atMs) ?? said[0];

/** Slots in order of time: a pass has fewer than 100 measures, and a measure fewer than 100 slots. */
const orderOf = ({ place }: Step): number =>
  place.split('/').reduce((sum, part) => sum * 100 + Number(part), 0);

/** How far two pages were apart at each slot that both marked in a time, ms, ascending. */
function apartIn(
  mine: readonly Step[],
  theirs: readonly Step[],
  [fromMs, toMs]: readonly [number, number],
): readonly { readonly atMs: number; readonly ms: number }[] {
  const times = new Map(theirs.map(({ place, atMs }) => [place, atMs]));
  return mine
    .filter(({ atMs }) => atMs >= fromMs && atMs < toMs)
    .flatMap(({ place, atMs }) => {
      const there = times.get(place);
      return there === undefined ? [] : [{ atMs, ms: Math.abs(atMs - there) }];
    })
    .sort((a, b) => a.ms - b.ms);
}

const DOWN = 'The line to the board is down.';
/** A mark moves with a frame of its screen. Source: 60 frames a second, the rate of the tests' browser. */
const FRAME_MS = 17;

test('whose phone changes to another network while everybody plays is told of it, stays within what the page says, and never goes back', async ({
  browser,
}) => {
  const board = await shortBoard(program);
  const small = { viewport: { width: 640, height: 480 } };
  const leader = await leaderOf(browser, program.url, board, 7, small);
  const player = await playerOf(browser, line.url, board, small);
  for (const page of [leader, player]) {
    await noteSteps(page);
    await noteSaid(page);
  }
  await start(leader, 140);
  const status = player.locator('.play-place');
  await expect(status).toContainText('Pass 2 of 7');
  const cutMs = Date.now();
  line.cut();
  await expect(player.getByText(DOWN)).toBeVisible();
  const downMs = Date.now();
  await expect(player.locator('.play-time')).toContainText('On its own clock, in time within');
  await expect(status).toContainText('Pass 3 of 7');
  // The other network is ten times as slow, and uneven.
  line.slow({ least: 60, most: 260 });
  const mendMs = Date.now();
  line.mend();
  await expect(player.getByText(DOWN)).toBeHidden();
  const backMs = Date.now();
  await expect(status).toContainText('Pass 6 of 7', { timeout: 60_000 });
  // What a leader presses comes over the new line too.
  await leader.getByRole('button', { name: 'Lift a foot' }).click();
  await expect(status).toContainText('Pass 6 of 7, the last one');
  await expect(status).toContainText('That was it', { timeout: 30_000 });

  const [mine, theirs] = await Promise.all([player, leader].map(stepsOf));
  const [said, leaderSaid] = await Promise.all([player, leader].map(saidBy));
  if (!mine || !theirs || !said || !leaderSaid) throw new Error('a page has noted nothing');
  const phases = {
    before: [0, cutMs],
    without: [downMs, mendMs],
    after: [backMs, Number.POSITIVE_INFINITY],
  } as const;
  for (const [phase, time] of Object.entries(phases)) {
    const apart = apartIn(mine, theirs, time);
    const beyond = apart
      .map(({ atMs, ms }) => {
        const stated = (saidAt(said, atMs)?.within ?? 0) + (saidAt(leaderSaid, atMs)?.within ?? 0);
        return ms - stated;
      })
      .sort((a, b) => a - b);
    const most = quantile(
      apart.map(({ ms }) => ms),
      0.95,
    );
    test.info().annotations.push({
      type: 'measured',
      description: `${phase}: ${apart.length} slots, 95 % within ${most.toFixed(1)} ms, ${quantile(beyond, 0.95).toFixed(1)} ms beyond what the pages say`,
    });
    expect(apart.length, phase).toBeGreaterThan(10);
    expect(quantile(beyond, 0.95), phase).toBeLessThanOrEqual(FRAME_MS);
    expect(most, phase).toBeLessThanOrEqual(25);
  }
  const lost = said.filter(({ atMs }) => atMs > downMs + 50 && atMs < mendMs);
  for (const { words } of lost) expect(words).toMatch(/^On its own clock/);
  const after = said.filter(({ atMs }) => atMs > backMs + 50).map(({ words }) => words);
  for (const words of after) expect(words).toMatch(/^(In|Only in) time within \d+ ms/);
  // An answer takes 120 ms at the least, and half of that is what nobody can know.
  expect(after.at(-1)).toMatch(/^Only in time within \d+ ms: the line is slow/);
  const order = mine.map(orderOf);
  expect(order).toEqual([...order].sort((a, b) => a - b));
});
