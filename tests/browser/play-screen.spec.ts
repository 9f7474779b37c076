import type { Page } from '@playwright/test';
import { leaderOf, playerOf, shortBoard, start } from '../kit/band';
import { expect, test } from '../kit/browser-test';
import { demoBoard } from '../kit/demo-visit';
import type { Frame } from '../kit/frames';
import { flashesIn, framesOf } from '../kit/frames';
import type { Program } from '../kit/program';
import { startProgram } from '../kit/program';

// These measure time on a machine that others may be using: what fails is measured again, twice at most, before it counts.
test.describe.configure({ retries: 2 });

let program: Program;
test.beforeAll(async () => {
  program = await startProgram();
});
test.afterAll(async () => {
  await program.end();
});

const measured = (description: string) =>
  test.info().annotations.push({ type: 'measured', description });

const status = (page: Page) => page.locator('.play-place');

/** A picture of one colour. */
function plainFrame(page: Page, seconds: number, colour: string): Promise<Frame> {
  return page.evaluate(
    ([at, fill]) => {
      const canvas = document.createElement('canvas');
      canvas.width = canvas.height = 8;
      const context = canvas.getContext('2d');
      if (!context) throw new Error('no canvas');
      context.fillStyle = fill;
      context.fillRect(0, 0, 8, 8);
      return { seconds: at, data: canvas.toDataURL('image/jpeg').split(',')[1] ?? '' };
    },
    [seconds, colour] as const,
  );
}

test('the judge of flashes counts a light that goes on and off, and no slow or faint one', async ({
  browser,
}) => {
  const page = await browser.newPage();
  const blinking = async (colours: readonly string[], everySeconds: number) => {
    const frames = [];
    for (let i = 0; i < 12; i += 1)
      frames.push(await plainFrame(page, i * everySeconds, colours[i % colours.length] ?? 'black'));
    return (await flashesIn(page, frames)).most;
  };
  expect(await blinking(['black', 'white'], 0.1)).toBe(5);
  expect(await blinking(['black', 'white'], 0.5)).toBe(1);
  expect(await blinking(['#777', '#808080'], 0.1)).toBe(0);
  expect(await blinking(['#eee', '#fff'], 0.1)).toBe(0);
  await page.close();
});

const FLASHES = [
  [60, 'light'],
  [120, 'dark'],
  [240, 'light'],
  [240, 'dark'],
] as const;

for (const [bpm, colorScheme] of FLASHES)
  test(`at ${bpm} beats a minute nothing flashes more than three times a second, ${colorScheme}`, async ({
    browser,
  }) => {
    const board = await shortBoard(program);
    const leader = await leaderOf(browser, program.url, board, 6);
    const player = await playerOf(browser, program.url, board, {
      colorScheme,
      viewport: { width: 1000, height: 700 },
    });
    await start(leader, bpm);
    await expect(status(player)).toContainText('Counting in');
    const frames = await framesOf(player, 480 / bpm + 4, 500);
    const judge = await browser.newPage();
    const flashes = await flashesIn(judge, frames);
    await judge.close();
    measured(
      `${flashes.frames} frames; at most ${flashes.most} flashes a second at one place; ${(flashes.changed * 100).toFixed(1)} % of the picture changes at once`,
    );
    expect(flashes.frames).toBeGreaterThan(10);
    expect(flashes.changed).toBeGreaterThan(0.0005);
    expect(flashes.most).toBeLessThanOrEqual(3);
  });

test('who wants little motion has a mark that moves once a beat', async ({ browser }) => {
  const board = await shortBoard(program);
  const leader = await leaderOf(browser, program.url, board, 2);
  const calm = await playerOf(browser, program.url, board, { reducedMotion: 'reduce' });
  const lively = await playerOf(browser, program.url, board);
  for (const page of [calm, lively])
    await page.evaluate(() => {
      const places = new Set<string>();
      Object.assign(window, { places });
      const look = () => {
        const now = document.querySelector<HTMLElement>('.pass-now [data-now]');
        if (now) places.add(`${now.dataset.visit} ${now.style.getPropertyValue('--at')}`);
        requestAnimationFrame(look);
      };
      look();
    });
  await start(leader, 120);
  for (const page of [calm, lively])
    await expect(status(page)).toContainText('Pass 2 of 2', { timeout: 15_000 });
  const places = (page: Page) =>
    page.evaluate(() => (window as unknown as { places: Set<string> }).places.size);
  // Eight measures of two beats, or of eight slots; a frame or two may be missed.
  expect(await places(calm)).toBeLessThanOrEqual(16);
  expect(await places(calm)).toBeGreaterThan(12);
  expect(await places(lively)).toBeGreaterThan(40);
});

/** Least height of figures that are legible, in minutes of arc. Source: ISO 9241-303:2011, from memory, not re-read (20 to 22 is preferred). */
const LEGIBLE_MINUTES = 16;
const TWO_METRES = 2000;
/** Source: CSS Values and Units, 96 px an inch. */
const MM_A_PX = 25.4 / 96;

/** How tall the fret numbers' figures are on the screen, px, and how much of it a measure's width, two lines' height and a line's width take. */
function figuresOn(page: Page) {
  return page.evaluate(() => {
    const fret = document.querySelector<SVGTextElement>('.pass-now .tab-fret');
    const svg = fret?.closest('svg');
    const line = fret?.closest('.line');
    const context = document.createElement('canvas').getContext('2d');
    if (!fret || !svg || !line || !context) throw new Error('no fret number');
    const drawn = svg.getBoundingClientRect();
    const scale = drawn.width / svg.viewBox.baseVal.width;
    const { fontFamily, fontWeight } = getComputedStyle(fret);
    context.font = `${fontWeight} ${Number(fret.getAttribute('font-size')) * scale}px ${fontFamily}`;
    const { actualBoundingBoxAscent: up, actualBoundingBoxDescent: down } =
      context.measureText('5');
    const bar = document.querySelector('.play-status')?.getBoundingClientRect().height ?? 0;
    const free = line.parentElement?.getBoundingClientRect().width ?? Number.NaN;
    return {
      figure: up + down,
      ofWidth: drawn.width / free,
      ofHeight: (2 * drawn.height) / (window.innerHeight - bar),
      ofRow: line.getBoundingClientRect().width / free,
    };
  });
}

const SCREENS = [
  ['a phone', 390, 844],
  ['a phone on its side', 844, 390],
  ['a tablet', 820, 1180],
  ['a laptop', 1366, 768],
  ['a low window', 1280, 600],
  ['a projector', 1920, 1080],
] as const;

/** From now on the page notes at each new measure which lines of it and after it are not wholly in view. */
async function noteHidden(player: Page): Promise<void> {
  await player.evaluate(() => {
    const seen: { visit: string; hidden: string[] }[] = [];
    Object.assign(window, { seen });
    const inView = (element: Element | undefined) => {
      if (!element) return true;
      const bar = document.querySelector('.play-status')?.getBoundingClientRect().bottom ?? 0;
      const { top, bottom } = element.getBoundingClientRect();
      return top >= bar - 1 && bottom <= window.innerHeight + 1;
    };
    let last = '';
    const look = () => {
      const now = document.querySelector<HTMLElement>('[data-now]');
      const pass = now?.closest<HTMLElement>('.pass')?.dataset.pass ?? '';
      const visit = `${pass}/${now?.dataset.visit}`;
      if (now && visit !== last) {
        last = visit;
        const all = [...document.querySelectorAll<HTMLElement>('[data-visit]')].filter((one) =>
          one.closest('.pass'),
        );
        const here = now.getBoundingClientRect();
        const next = all
          .slice(all.indexOf(now) + 1)
          .find((one) => one.getBoundingClientRect().top > here.bottom - 1);
        const hidden = [];
        if (!inView(now)) hidden.push('the played line');
        if (!inView(next)) hidden.push('the next line');
        seen.push({ visit, hidden });
      }
      requestAnimationFrame(look);
    };
    look();
  });
}

/** What a player at a screen had to see, once two passes are under way. */
async function expectInView(player: Page, name: string, width: number): Promise<void> {
  await expect(status(player), name).toContainText('Pass 2 of 2', { timeout: 60_000 });
  await expect
    .poll(() => player.evaluate(() => (window as unknown as { seen: unknown[] }).seen.length))
    .toBeGreaterThan(35);
  const seen = await player.evaluate(
    () => (window as unknown as { seen: { visit: string; hidden: string[] }[] }).seen,
  );
  expect(
    seen.filter(({ hidden }) => hidden.length > 0),
    name,
  ).toEqual([]);
  const { figure, ofWidth, ofHeight, ofRow } = await figuresOn(player);
  const minutes = Math.atan((figure * MM_A_PX) / TWO_METRES) * (180 / Math.PI) * 60;
  measured(
    `${name}: figures are ${figure.toFixed(1)} px tall, ${minutes.toFixed(1)} minutes of arc from two metres`,
  );
  // Large enough, or as large as two lines can be on this screen.
  if (minutes < LEGIBLE_MINUTES) expect(Math.max(ofWidth, ofHeight), name).toBeGreaterThan(0.8);
  // Where a screen is so low that they are small anyway, more of them stand beside one another.
  if (name === 'a phone on its side' || name === 'a low window')
    expect(ofRow, name).toBeGreaterThan(0.8);
  if (name === 'a tablet' || name === 'a projector')
    expect(minutes, name).toBeGreaterThanOrEqual(LEGIBLE_MINUTES);
  expect(await player.evaluate(() => document.documentElement.scrollWidth), name).toBe(width);
}

test('the line that is played and the next one are always in view, on a phone as in a hall', async ({
  browser,
}) => {
  const demo = await demoBoard(program);
  const leader = await leaderOf(browser, program.url, demo, 2);
  const players = await Promise.all(
    SCREENS.map(async ([name, width, height]) => {
      const viewport = { width, height };
      const player = await playerOf(browser, program.url, demo, { viewport });
      await noteHidden(player);
      return { player, name, width };
    }),
  );
  await start(leader, 240);
  for (const { player, name, width } of players) await expectInView(player, name, width);
});

test('without scripts passes of 32 measures come in order by themselves, over time', async ({
  browser,
}) => {
  const board = await demoBoard(program);
  const leader = await leaderOf(browser, program.url, board, 2);
  await start(leader, 240);
  await expect(status(leader)).toContainText('Pass 1 of 2');
  const still = await (await browser.newContext({ javaScriptEnabled: false })).newPage();
  await still.goto(program.url + board.links.watch);
  await still.goto(`${program.url}/b/${board.board}/play`);
  const seen: string[] = [];
  const measures = new Set<string>();
  await expect
    .poll(
      async () => {
        const words = await still
          .locator('.play-place')
          .textContent()
          .catch(() => null);
        if (words && seen.at(-1) !== words) seen.push(words);
        if (words?.startsWith('Pass'))
          measures.add(
            await still
              .locator('.pass-now [data-visit]:has(svg)')
              .evaluateAll((all) => all.map((one) => one.getAttribute('data-visit')).join(' '))
              .catch(() => 'on its way'),
          );
        return words;
      },
      { timeout: 60_000, intervals: [100] },
    )
    .toContain('That was it');
  expect(seen).toEqual(['Pass 1 of 2', 'Pass 2 of 2, the last one', 'That was it. Well played.']);
  measures.delete('on its way');
  measures.delete('');
  expect([...measures]).toEqual([Array.from({ length: 32 }, (_, i) => i).join(' ')]);
});

test('a pass of 32 measures stands whole on the page without scripts, and so does the plan', async ({
  browser,
}) => {
  const demo = await demoBoard(program);
  await leaderOf(browser, program.url, demo, 5);
  const still = await (await browser.newContext({ javaScriptEnabled: false })).newPage();
  await still.goto(program.url + demo.links.watch);
  await still.goto(`${program.url}/b/${demo.board}/play?pass=2`);
  await expect(still.locator('.pass[data-pass="2"] [data-visit] svg')).toHaveCount(32);
  await expect(still.locator('.pass[data-pass="2"] .visit-by').first()).not.toBeEmpty();
  await still.getByRole('link', { name: 'On to pass 3' }).click();
  await expect(still.getByRole('heading', { name: 'Pass 3', exact: true })).toBeVisible();
  await still.getByRole('link', { name: 'All passes on one page' }).click();
  await expect(still.locator('.pass [data-visit] svg')).toHaveCount(5 * 32);
});

test('the whole plan is printed from the play page', async ({ browser }) => {
  const demo = await demoBoard(program);
  const leader = await leaderOf(browser, program.url, demo, 5);
  await leader.emulateMedia({ media: 'print' });
  await leader.evaluate(() => window.dispatchEvent(new Event('beforeprint')));
  await expect(leader.locator('.printed-pass')).toHaveCount(5);
  await expect(leader.locator('.printed-pass [data-visit] svg')).toHaveCount(5 * 32);
  await expect(leader.locator('.printed-pass').last()).toBeVisible();
  await expect(leader.locator('.pass-now')).toBeHidden();
  await expect(leader.getByRole('button', { name: /Count in/ })).toBeHidden();
  await leader.evaluate(() => window.dispatchEvent(new Event('afterprint')));
  await expect(leader.locator('.printed-pass')).toHaveCount(0);
});

test('the screen is kept awake while somebody plays, again after it was hidden, and no longer', async ({
  browser,
}) => {
  const board = await shortBoard(program);
  const context = await browser.newContext();
  // A lock as the Screen Wake Lock API has it, counted: a headless browser has no screen to keep awake.
  await context.addInitScript(() => {
    const locks: { released: boolean; release: () => Promise<void> }[] = [];
    Object.assign(window, { locks });
    Object.defineProperty(navigator, 'wakeLock', {
      value: {
        request: async () => {
          const lock = {
            released: false,
            release: async () => {
              lock.released = true;
            },
          };
          locks.push(lock);
          return lock;
        },
      },
    });
  });
  const held = (page: Page) =>
    page.evaluate(
      () =>
        (window as unknown as { locks: { released: boolean }[] }).locks.filter(
          ({ released }) => !released,
        ).length,
    );
  const leader = await leaderOf(browser, program.url, board, 2);
  const player = await context.newPage();
  await player.goto(program.url + board.links.watch);
  await player.goto(`${program.url}/b/${board.board}/play`);
  await player.locator('.play-time[data-within]').waitFor();
  expect(await held(player)).toBe(0);
  await start(leader, 60);
  await expect.poll(() => held(player)).toBe(1);
  // The browser itself lets go when the page is hidden.
  await player.evaluate(() => {
    for (const lock of (window as unknown as { locks: { released: boolean }[] }).locks)
      lock.released = true;
    document.dispatchEvent(new Event('visibilitychange'));
  });
  await expect.poll(() => held(player)).toBe(1);
  await leader.getByRole('button', { name: 'Stop' }).click();
  await expect.poll(() => held(player)).toBe(0);
});
