import type { Browser, Page } from '@playwright/test';
import { expect, test } from '@playwright/test';

/** A traditional tune in a plain form, cut time, as a leader would paste it (traditional; set for these tests). */
const TUNE = `X:1
T:Cabbage in the Pot
M:2/2
L:1/8
K:G
P:A
|: "G"B2B2 B2B2 | "C"c2c2 c2c2 | "G"B2B2 B2B2 | "D"A2A2 A4 |
"G"B2B2 B2B2 | "C"c2c2 c2c2 | "G"B2B2 "D"A2A2 | "G"G4 G4 :|
P:B
|: "G"d2d2 B2d2 | "C"e2e2 e4 | "G"d2d2 B2B2 | "D"A2B2 A4 |
"G"d2d2 B2d2 | "C"e2e2 e4 | "G"d2B2 "D"A2A2 | "G"G4 G4 :|
`;

/** Where a group takes the whole way: one server for all, or one for each. */
export interface Venue {
  /** The server that each goes to; `late` is for whoever comes late or only watches. */
  readonly urls: Readonly<Record<'leader' | 'ash' | 'ivy' | 'late', string>>;
  /** Kills one server in the middle. */
  readonly kill: () => Promise<void>;
  readonly startAgain: () => Promise<void>;
  /** Whose server that is. The others notice nothing. */
  readonly cutOff: readonly (keyof People)[];
}

interface People {
  readonly leader: Page;
  readonly ash: Page;
  readonly ivy: Page;
}

interface Party {
  readonly people: People;
  /** Path of the board. */
  readonly board: string;
  readonly join: string;
  readonly watch: string;
}

/** The same path at another server. */
function at(server: string, address: string): string {
  const { pathname, search } = new URL(address, server);
  return new URL(pathname + search, server).href;
}

async function person(browser: Browser, link: string, name: string): Promise<Page> {
  const page = await (await browser.newContext()).newPage();
  await page.goto(link);
  await page.locator('[data-live]').waitFor();
  await page.getByLabel('What do they call you?').fill(name);
  await page.getByRole('button', { name: "That's me" }).click();
  await expect(page.getByText(`You are ${name}`)).toBeVisible();
  return page;
}

function column(page: Page, measure: string) {
  return page.locator(`[data-measure="${measure}"]`);
}

interface Step {
  readonly place: string;
  readonly atMs: number;
}

/** Notes down in the page when the mark comes to each slot, on the clock that all browsers of this machine share. */
async function noteSteps(page: Page): Promise<void> {
  await page.evaluate(() => {
    const root = document.querySelector<HTMLElement>('[data-testid=play]');
    if (!root) throw new Error('no play page');
    const steps: { place: string; atMs: number }[] = [];
    Object.assign(window, { steps });
    new MutationObserver(() => {
      const { pass, visit, slot, place } = root.dataset;
      if (place !== 'playing') return;
      const here = `${pass}/${visit}/${slot}`;
      if (steps.at(-1)?.place !== here)
        steps.push({ place: here, atMs: performance.timeOrigin + performance.now() });
    }).observe(root, { attributes: true });
  });
}

function steps(page: Page): Promise<readonly Step[]> {
  return page.evaluate(() => (window as unknown as { steps: Step[] }).steps);
}

/** For every slot that all pages marked: how far apart the first and the last were, in ms. */
async function spreads(pages: readonly Page[]): Promise<readonly number[]> {
  const all = await Promise.all(pages.map(steps));
  const first = new Map(all[0]?.map((step) => [step.place, [step.atMs]]));
  for (const others of all.slice(1))
    for (const { place, atMs } of others) first.get(place)?.push(atMs);
  return [...first.values()]
    .filter((times) => times.length === pages.length)
    .map((times) => Math.max(...times) - Math.min(...times));
}

async function playsMeasures(page: Page, count: number): Promise<void> {
  const from = (await steps(page)).length;
  await page.waitForFunction(
    (wanted) => (window as unknown as { steps: unknown[] }).steps.length >= wanted,
    from + count * 8,
  );
}

/** The leader starts a board, and two students join it. */
async function gather(browser: Browser, { urls }: Venue): Promise<Party> {
  // The leader starts a board from ABC.
  const leader = await (await browser.newContext()).newPage();
  await leader.goto(urls.leader);
  await leader.getByLabel('Paste it as ABC, or drop a file here').fill(TUNE);
  await leader.getByRole('button', { name: 'Start a board' }).click();
  await expect(leader.getByRole('heading', { name: 'Cabbage in the Pot' })).toBeVisible();
  await leader.locator('[data-live]').waitFor();
  await leader.getByLabel('What do they call you?').fill('Wren');
  await leader.getByRole('button', { name: "That's me" }).click();
  await leader.getByText('Links to hand out').click();
  const join = (await leader.locator('[data-link=join]').textContent()) ?? '';
  const watch = (await leader.locator('[data-link=watch]').textContent()) ?? '';
  const board = new URL(leader.url()).pathname;

  // Two students join in browsers of their own.
  const ash = await person(browser, at(urls.ash, join), 'Ash');
  const ivy = await person(browser, at(urls.ivy, join), 'Ivy');
  await expect(leader.getByTestId('here')).toContainText('Ash');
  await expect(leader.getByTestId('here')).toContainText('Ivy');
  return { people: { leader, ash, ivy }, board, join, watch };
}

async function vary({ leader, ash, ivy }: People): Promise<void> {
  // Ash takes an embellishment that is offered; the leader sees where Ash is looking.
  await ash.getByRole('button', { name: 'vary it measure 1', exact: true }).click();
  await expect(column(leader, 'm1').getByTestId('lookers')).toContainText('Ash');
  await ash.locator('[data-family=drop-thumb]').click();
  await ash.locator('.offer').first().click();
  await ash.getByLabel('A word about it, if you like').fill('thumb drops in');
  await ash.getByRole('button', { name: 'Put it forward' }).click();
  await expect(column(leader, 'm1').locator('.variant')).toContainText('drop thumbing');
  await expect(column(ivy, 'm1').locator('.variant')).toContainText('thumb drops in');

  // Ivy edits by keyboard: a hammer-on from the open string; a broken draft cannot be put forward.
  await ivy.getByRole('button', { name: 'vary it measure 4', exact: true }).click();
  await ivy.getByRole('button', { name: 'slot 1, string 3: fret 2', exact: true }).click();
  await ivy.keyboard.press('0');
  await ivy.keyboard.press('ArrowRight');
  await ivy.keyboard.press('+');
  await expect(ivy.getByText('The measure is 1 slot too long.')).toBeVisible();
  await expect(ivy.getByRole('button', { name: 'Put it forward' })).toHaveAttribute(
    'aria-disabled',
    'true',
  );
  await ivy.keyboard.press('Control+z');
  await ivy.keyboard.press('2');
  await ivy.keyboard.press('h');
  await ivy.getByRole('button', { name: 'Put it forward' }).click();
  await expect(column(leader, 'm4').locator('.variant')).toContainText('hammer-on');
  await expect(column(ash, 'm4').locator('.variant')).toContainText('Ivy');
}

async function vote({ leader, ash, ivy }: People): Promise<void> {
  // Everybody votes; an approval can be taken back.
  const approve = (page: Page, name: string) =>
    page.getByRole('button', { name: new RegExp(`^approve ${name} \\d`) }).click();
  await approve(leader, "Ash's variant of measure 1");
  await approve(ivy, "Ash's variant of measure 1");
  await approve(ash, "Ivy's variant of measure 4");
  await approve(ash, 'the plain measure 4');
  await approve(ash, 'the plain measure 4');
  for (const page of [leader, ash, ivy]) {
    await expect(column(page, 'm1').locator('.variant [data-votes="2"]')).toBeVisible();
    await expect(column(page, 'm4').locator('.variant [data-votes="1"]')).toBeVisible();
    await expect(column(page, 'm4').locator('.plain [data-votes="0"]')).toBeVisible();
  }
  await expect(leader.getByTestId('tally')).toContainText('3 people have voted on 2 of 16');

  // The leader overrules measure 4, says how many passes and closes the vote.
  const choosePlain = leader.getByRole('button', {
    name: 'choose the plain measure 4, whatever the votes',
  });
  await choosePlain.click();
  await expect(choosePlain).toHaveAttribute('aria-pressed', 'true');
  await leader.getByLabel('Passes, the first one plain').fill('3');
  await leader.getByRole('button', { name: 'Agreed', exact: true }).click();
  for (const page of [leader, ash, ivy])
    await expect(column(page, 'm1').locator('.variant')).toContainText('agreed for passes 2 and 3');
  await expect(ash.getByRole('button', { name: /approve/ })).toHaveCount(0);
  for (const page of [leader, ash, ivy])
    await expect(column(page, 'm4').locator('.variant')).not.toContainText('agreed');
}

/** The play page is whole without any script. */
async function readPlayPage(
  browser: Browser,
  { urls }: Venue,
  { board, watch }: Party,
): Promise<void> {
  const still = await (await browser.newContext({ javaScriptEnabled: false })).newPage();
  await still.goto(at(urls.late, watch));
  await still.goto(at(urls.late, `${board}/play?pass=2`));
  await expect(still.locator('[data-pass="2"] [data-visit] svg')).toHaveCount(32);
  await expect(still.locator('[data-pass="2"] [data-visit="0"]')).toContainText('Ash');
  await expect(still.locator('[data-pass="3"] [data-visit] svg')).toHaveCount(32);
}

async function play(venue: Venue, { people, board }: Party): Promise<void> {
  const { leader, ash, ivy } = people;
  const band = [leader, ash, ivy];
  // They play: every browser marks the same measure and slot, from the server's clock.
  for (const page of band) {
    await page.goto(at(page.url(), `${board}/play`));
    await expect(page.getByRole('heading', { name: 'Pass 1' })).toBeVisible();
    await noteSteps(page);
  }
  await leader.getByLabel('Beats a minute').fill('120');
  await leader.getByRole('button', { name: 'Count in and start at pass 1' }).click();
  for (const page of band) await expect(page.getByText('Counting in')).toBeVisible();
  for (const page of band) await expect(page.getByText('Pass 1 of 3')).toBeVisible();
  await playsMeasures(leader, 2);

  // Some lose their line in the middle; all pages go on by the clock they have.
  await venue.kill();
  const down = (page: Page) => page.getByText('The line to the board is down.');
  await playsMeasures(leader, 2);
  for (const name of venue.cutOff) await expect(down(people[name])).toBeVisible();
  for (const page of band.filter((other) => !venue.cutOff.some((name) => people[name] === other)))
    await expect(down(page)).toBeHidden();
  await venue.startAgain();
  for (const page of band) await expect(down(page)).toBeHidden();
  await playsMeasures(leader, 2);

  // 120 bum-ditties a minute: a slot is 125 ms.
  const apart = await spreads(band);
  test.info().annotations.push({
    type: 'measured',
    description: `${apart.length} slots marked by all three, at most ${Math.max(...apart).toFixed(1)} ms apart`,
  });
  expect(apart.length).toBeGreaterThan(40);
  expect(Math.max(...apart)).toBeLessThan(125);
}

async function comeLate(
  browser: Browser,
  { urls }: Venue,
  { people: { leader }, board, join }: Party,
): Promise<void> {
  // Somebody who comes late is at the right place at once.
  const late = await person(browser, at(urls.late, join), 'Oak');
  await late.goto(at(urls.late, `${board}/play`));
  await noteSteps(late);
  await playsMeasures(late, 1);
  const withLate = await spreads([leader, late]);
  expect(withLate.length).toBeGreaterThan(4);
  expect(Math.max(...withLate)).toBeLessThan(125);
}

async function end({ leader, ash, ivy }: People): Promise<void> {
  const band = [leader, ash, ivy];
  // A lifted foot makes this pass the last.
  await leader.getByRole('button', { name: /Lift a foot/ }).click();
  for (const page of band) await expect(page.getByText('Pass 1 of 3, the last one')).toBeVisible();
  for (const page of band)
    await expect(page.getByText('That was it. Well played.')).toBeVisible({ timeout: 60_000 });
}

async function goOn({ urls }: Venue, { people: { leader, ash }, board }: Party): Promise<void> {
  // Everything that anyone had seen is still there, and work goes on.
  await ash.goto(at(urls.ash, board));
  await expect(column(ash, 'm1').locator('.variant')).toContainText('agreed for passes 2 and 3');
  await expect(column(ash, 'm1').locator('.variant [data-votes="2"]')).toBeVisible();
  await expect(column(ash, 'm4').locator('.variant')).toContainText('Ivy');
  await ash.locator('[data-live]').waitFor();
  await ash.getByRole('button', { name: "go on from it Ivy's variant of measure 4" }).click();
  await ash.getByRole('button', { name: 'slot 5, string 3: fret 2', exact: true }).click();
  await ash.locator('[data-family=double-thumb]').click();
  await ash.locator('.offer').first().click();
  await ash.getByRole('button', { name: 'Put it forward' }).click();
  await leader.goto(at(urls.leader, board));
  await expect(column(leader, 'm4').locator('.variant')).toHaveCount(2);
}

/** A group takes a tune from plain to an agreed pass; a server is killed while they play, and nothing that anyone saw is lost. */
export async function wholeWay(browser: Browser, venue: Venue): Promise<void> {
  const party = await gather(browser, venue);
  await vary(party.people);
  await vote(party.people);
  await readPlayPage(browser, venue, party);
  await play(venue, party);
  await comeLate(browser, venue, party);
  await end(party.people);
  await goOn(venue, party);
}
