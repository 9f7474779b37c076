import type { Page } from '@playwright/test';
import { faultsOf } from '../kit/axe';
import { expect, test } from '../kit/browser-test';
import type { Links } from '../kit/demo-visit';
import { demoBoard, visitor } from '../kit/demo-visit';
import type { Program } from '../kit/program';
import { startProgram } from '../kit/program';
import { startSlowLine } from '../kit/slow-line';

const TOKEN = 'a token of the operator for tests';
let program: Program;
let demo: Links;
test.beforeAll(async () => {
  process.env.BACKUP_TOKEN = TOKEN;
  program = await startProgram();
});
test.afterAll(async () => {
  await program.end();
});
test.beforeEach(async () => {
  demo = await demoBoard(program);
});

const at = (path: string) => `${program.url}${path}`;

/** Names and notes that would be markup, script or a path if anything took them for it. */
const HOSTILE = `"><img src=x onerror="window.hurt=1"><script>window.hurt=1</script>`.slice(0, 40);
const HOSTILE_NOTE = `</script><script>window.hurt=1</script><svg onload="window.hurt=1">{{7*7}}\${7*7}`;

/** A page whose errors and broken policies are kept: browsers tell of both in the console. */
function watched(page: Page): readonly string[] {
  const said: string[] = [];
  page.on('console', (message) => {
    if (message.type() === 'error') said.push(message.text());
  });
  page.on('pageerror', (error) => said.push(String(error)));
  return said;
}

async function named(page: Page, name: string): Promise<void> {
  await page.locator('[data-live]').waitFor();
  await page.getByLabel('What do they call you?').fill(name);
  await page.getByRole('button', { name: "That's me" }).click();
  await page.getByText('You are').waitFor();
}

test('every page runs under its policy, without unsafe scripts, and nothing in the console', async ({
  browser,
}) => {
  const page = await (await browser.newContext()).newPage();
  const said = watched(page);
  for (const path of [
    '/',
    demo.links.lead,
    `/b/${demo.board}/people`,
    `/b/${demo.board}/play`,
    `/b/${demo.board}/practice`,
  ]) {
    const answer = await page.goto(at(path));
    const policy = answer?.headers()['content-security-policy'] ?? '';
    const scripts = policy.split(';').find((part) => part.trim().startsWith('script-src')) ?? '';
    expect(scripts).toMatch(/'nonce-[\w+/=]{20,}'/);
    expect(scripts).not.toContain('unsafe');
    await page.waitForLoadState('networkidle');
  }
  await page.goto(at(`/b/${demo.board}`));
  await page.locator('[data-live]').waitFor();
  await page.goto(at('/nowhere'));
  await page.waitForLoadState('networkidle');
  const others = said.filter((line) => !line.includes('status of 404'));
  expect(others).toEqual([]);
});

test('an inline script that slipped in would not run', async ({ browser }) => {
  const page = await visitor(browser, at('/'));
  const said = watched(page);
  const ran = await page.evaluate(() => {
    const script = document.createElement('script');
    script.textContent = 'window.slippedIn = true';
    document.body.append(script);
    return 'slippedIn' in window;
  });
  expect(ran).toBe(false);
  // What a broken policy looks like, so that its absence elsewhere means something.
  await expect.poll(() => said.join()).toContain('Content Security Policy');
});

test('hostile names and notes are text on every page and in what is taken away', async ({
  browser,
}) => {
  const student = await (await browser.newContext()).newPage();
  const said = watched(student);
  await student.goto(at(demo.links.join));
  await named(student, HOSTILE);
  await student.getByRole('button', { name: 'vary it measure 2', exact: true }).click();
  await student.locator('.offer').first().click();
  await student.getByLabel('A word about it').fill(HOSTILE_NOTE);
  await student
    .getByRole('button', { name: /put .*forward/i })
    .first()
    .click();
  const leader = await (await browser.newContext()).newPage();
  const leaderSaid = watched(leader);
  await leader.goto(at(demo.links.lead));
  await leader.locator('[data-live]').waitFor();
  await expect(leader.getByText(HOSTILE, { exact: false }).first()).toBeVisible();
  await leader.getByRole('button', { name: 'Agreed', exact: true }).click();
  await expect(leader.getByText(HOSTILE_NOTE, { exact: false }).first()).toBeVisible();
  for (const path of ['people', 'play', 'passes', '']) {
    await leader.goto(at(`/b/${demo.board}/${path}`));
    await leader.waitForLoadState('networkidle');
    expect(await leader.evaluate(() => 'hurt' in window), path).toBe(false);
    expect(await leader.title()).not.toContain('/join/');
  }
  expect(await student.evaluate(() => 'hurt' in window)).toBe(false);
  for (const format of ['json', 'musicxml', 'midi', 'abc']) {
    const answer = await leader.request.get(at(`/api/boards/${demo.board}/export/${format}`));
    expect(answer.status(), format).toBe(200);
    expect(answer.headers()['content-disposition'], format).toMatch(/^attachment/);
    expect(answer.headers()['x-content-type-options']).toBe('nosniff');
    if (format === 'musicxml') expect(await answer.text()).not.toContain('<img');
  }
  expect([...said, ...leaderSaid]).toEqual([]);
});

test('[R20] who opened the old link and was never in is told to open the present one, and comes in by it; who was in stays', async ({
  browser,
}) => {
  const board = at(`/b/${demo.board}`);
  const student = await visitor(browser, at(demo.links.join));
  await student.locator('[data-live]').waitFor();
  const neverIn = await (await browser.newContext()).newPage();
  await neverIn.request.get(at(demo.links.join), { maxRedirects: 0 });
  const leader = await visitor(browser, at(demo.links.lead));
  await leader.goto(`${board}/people`);
  await leader.locator('[data-live]').waitFor();
  await leader.getByRole('button', { name: 'make a new join link' }).click();
  const link = leader.locator('[data-link="join"] code');
  await expect(link).toContainText('/join/');
  for (const path of ['', '/play', '/people', '/practice', '/sheet', '/passes']) {
    await neverIn.goto(`${board}${path}`);
    const heading = neverIn.getByRole('heading', { name: 'This board needs a link' });
    await expect(heading, path).toBeVisible();
  }
  await expect(neverIn.getByText('it was made new since')).toBeVisible();
  for (const path of ['export/json', 'export/wav', 'export/pdf']) {
    const refused = await neverIn.request.get(at(`/api/boards/${demo.board}/${path}`));
    expect(refused.status(), path).toBe(403);
  }
  for (const path of ['book', 'music?name=x']) {
    const refused = await neverIn.request.get(`${board}/play/${path}`);
    expect(await refused.text(), path).toBe('This board needs a link.');
  }
  await student.reload();
  await student.locator('[data-live]').waitFor();
  await neverIn.goto((await link.textContent()) ?? '');
  await neverIn.locator('[data-live]').waitFor();
});

test('a change that another site asks for is not done, and a cookie is out of reach of scripts', async ({
  browser,
}) => {
  for (const headers of [
    { origin: 'http://elsewhere.example' },
    { origin: program.url, 'sec-fetch-site': 'cross-site' },
  ]) {
    const answer = await fetch(at('/api/boards'), {
      method: 'POST',
      headers: { 'content-type': 'application/json', ...headers },
      body: JSON.stringify({ tune: { demo: true } }),
    });
    // Node's fetch writes Sec-Fetch-Mode of its own, never Sec-Fetch-Site.
    expect(answer.status, JSON.stringify(headers)).toBe(403);
  }
  const page = await visitor(browser, at(demo.links.join));
  expect(await page.evaluate(() => document.cookie)).toBe('');
  const [cookie] = await page.context().cookies();
  expect(cookie).toMatchObject({ httpOnly: true, sameSite: 'Lax', path: '/' });
});

test('a leader calls somebody otherwise, hides and brings back, and takes them out: they are told, and are gone everywhere', async ({
  browser,
}) => {
  const student = await visitor(browser, at(demo.links.join));
  await named(student, 'Alder');
  const other = await visitor(browser, at(demo.links.join));
  await other.locator('[data-live]').waitFor();
  const leader = await visitor(browser, at(demo.links.lead));
  await leader.getByRole('link', { name: 'People, order and links' }).click();
  await leader.locator('[data-live]').waitFor();
  expect(await faultsOf(leader)).toEqual([]);
  const row = leader.locator('[data-person]').filter({ hasText: 'Alder' });
  await row.getByRole('button', { name: 'call Alder otherwise' }).click();
  await leader.getByLabel('Call them').fill('Ms Alder');
  await leader.getByRole('button', { name: 'so', exact: true }).click();
  await expect(other.getByTestId('here')).toContainText('Ms Alder');
  const named2 = leader.locator('[data-person]').filter({ hasText: 'Ms Alder' });
  await named2.getByRole('button', { name: /^take out Ms Alder/ }).click();
  await leader.getByRole('button', { name: /Keep Ms Alder/ }).click();
  await named2.getByRole('button', { name: /^take out Ms Alder/ }).click();
  await expect(student.getByText('You are no longer on this board')).toBeVisible({
    timeout: 20_000,
  });
  await expect(other.getByTestId('here')).not.toContainText('Alder');
  await expect(leader.locator('[data-person]').filter({ hasText: 'Alder' })).toHaveCount(0);
  await student.reload();
  await expect(student.getByText('Alder')).toHaveCount(0);
  const kept = await student.evaluate(async () =>
    (await indexedDB.databases()).map(({ name }) => name),
  );
  expect(kept.filter((name) => name?.includes('said/'))).toEqual([]);
});

test('secret ballots are not on the leader’s screen until voting closes', async ({ browser }) => {
  const leader = await visitor(browser, at(demo.links.lead));
  await leader.goto(at(`/b/${demo.board}/people`));
  await leader.locator('[data-live]').waitFor();
  await leader.getByRole('button', { name: 'Keep ballots secret' }).click();
  await expect(leader.getByText('Secret: nobody but its owner')).toBeVisible();
  const student = await visitor(browser, at(demo.links.join));
  await student.locator('[data-live]').waitFor();
  const approve = student.getByRole('button', { name: /approve the plain measure 3/ });
  await approve.click();
  await expect(approve).toHaveAttribute('aria-pressed', 'true');
  await leader.goto(at(`/b/${demo.board}`));
  await leader.locator('[data-live]').waitFor();
  await expect(leader.getByTestId('tally')).toContainText('Ballots are secret');
  const votes = leader.locator('[data-measure="m3"] .plain [data-votes]').first();
  const before = (await votes.count()) > 0 ? await votes.getAttribute('data-votes') : '0';
  await leader.getByRole('button', { name: 'Close the vote and see the ballots' }).click();
  await expect(leader.getByTestId('tally')).toContainText('voted on');
  await expect
    .poll(async () => Number(await votes.getAttribute('data-votes')))
    .toBeGreaterThan(Number(before));
  await expect(leader.getByRole('button', { name: 'Agreed', exact: true })).toBeVisible();
});

test('a code makes a second browser the same person; taking out what is mine ends it', async ({
  browser,
}) => {
  const first = await visitor(browser, at(demo.links.join));
  await named(first, 'Rowan');
  await first.getByRole('link', { name: 'What is mine, and my other browser' }).click();
  await first.locator('[data-live]').waitFor();
  await first.getByRole('button', { name: 'Take a code' }).click();
  const code = (await first.getByTestId('code').textContent()) ?? '';
  const second = await visitor(browser, at(demo.links.join));
  await second.goto(at(`/b/${demo.board}/people`));
  await second.locator('[data-live]').waitFor();
  await second.getByLabel('I have a code from my other browser').fill('wrong');
  await second.getByRole('button', { name: "That's me" }).click();
  await expect(second.getByText('This code opens nothing')).toBeVisible();
  await second.getByLabel('I have a code from my other browser').fill(code);
  await second.getByRole('button', { name: "That's me" }).click();
  await expect(second.locator('[data-person]').filter({ hasText: '(you)' })).toContainText('Rowan');
  await expect(second.getByText('The name "Rowan", 0 variants, 0 approvals.')).toBeVisible();
  await first.getByRole('button', { name: 'Take out what is mine' }).click();
  await first.getByRole('button', { name: 'Take out everything now' }).click();
  await expect(first.getByText('You are no longer on this board')).toBeVisible();
  await expect(second.getByText('You are no longer on this board')).toBeVisible();
  const leader = await visitor(browser, at(demo.links.lead));
  await leader.locator('[data-live]').waitFor();
  await expect(leader.getByText('Rowan')).toHaveCount(0);
});

test('who loses the line goes on, and it arrives when the line is back; who was taken out meanwhile does not come back by it', async ({
  browser,
}) => {
  const line = await startSlowLine(program.url, { least: 0, most: 1, seed: 1 });
  try {
    const votesOn = (page: Page) => page.locator('[data-measure="m3"] .plain [data-votes]').first();
    const approve = (page: Page, measure: number) =>
      page.getByRole('button', {
        name: new RegExp(
          `approve the plain measure ${measure}$|approve the plain measure ${measure} `,
        ),
      });
    const down = 'The line to the board is down.';
    const student = await visitor(browser, `${line.url}${demo.links.join}`);
    await named(student, 'Medlar');
    const leader = await visitor(browser, at(demo.links.lead));
    await leader.locator('[data-live]').waitFor();
    const before = Number((await votesOn(leader).getAttribute('data-votes')) ?? '0');
    line.cut();
    await expect(student.getByText(down)).toBeVisible();
    await approve(student, 3).click();
    await expect(approve(student, 3)).toHaveAttribute('aria-pressed', 'true');
    line.mend();
    await expect(student.getByText(down)).toBeHidden({ timeout: 15_000 });
    await expect(votesOn(leader)).toHaveAttribute('data-votes', `${before + 1}`);
    line.cut();
    await expect(student.getByText(down)).toBeVisible();
    await approve(student, 4).click();
    await leader.goto(at(`/b/${demo.board}/people`));
    await leader.locator('[data-live]').waitFor();
    await leader.getByRole('button', { name: /^take out Medlar/ }).click();
    const gone = leader.locator('[data-person]').filter({ hasText: 'Medlar' });
    await expect(gone).toHaveCount(0, { timeout: 20_000 });
    line.mend();
    await expect(student.getByText('You are no longer on this board')).toBeVisible({
      timeout: 15_000,
    });
    await leader.goto(at(`/b/${demo.board}`));
    await leader.locator('[data-live]').waitFor();
    await expect(leader.getByText('Medlar')).toHaveCount(0);
    expect(Number((await votesOn(leader).getAttribute('data-votes')) ?? '0')).toBe(before);
  } finally {
    await line.end();
  }
});

test('a leader counts two browsers as one person with one voice, and apart again', async ({
  browser,
}) => {
  const votesOn = (page: Page) => page.locator('[data-measure="m3"] .plain [data-votes]').first();
  const approve = (page: Page) => page.getByRole('button', { name: /approve the plain measure 3/ });
  const students = [];
  for (const name of ['Rowan', 'Sedge']) {
    const student = await visitor(browser, at(demo.links.join));
    await named(student, name);
    await approve(student).click();
    await expect(approve(student)).toHaveAttribute('aria-pressed', 'true');
    students.push(student);
  }
  const [rowan, sedge] = students;
  if (!rowan || !sedge) throw new Error('two students came');
  const both = Number(await votesOn(sedge).getAttribute('data-votes'));
  await sedge.getByRole('button', { name: /approve the plain measure 4/ }).click();
  const leader = await visitor(browser, at(`${demo.links.lead}`));
  await leader.goto(at(`/b/${demo.board}/people`));
  await leader.locator('[data-live]').waitFor();
  await leader.getByRole('button', { name: 'is the same person as … (Sedge)' }).click();
  const choose = leader.getByLabel('Sedge is the same person as');
  await choose.selectOption({
    label: (await choose.textContent())?.match(/Rowan \(....\)/)?.[0] ?? '',
  });
  await expect(leader.locator('[data-counted]')).toContainText('also came as Sedge');
  expect(await faultsOf(leader)).toEqual([]);
  await expect(votesOn(rowan)).toHaveAttribute('data-votes', `${both - 1}`);
  await expect(sedge.getByText('You are Rowan')).toBeVisible();
  const elsewhere = rowan.locator('[data-measure="m4"] .plain');
  await expect(elsewhere).toContainText('you too, in your other browser');
  await leader.getByRole('button', { name: /^count Sedge.*apart again/ }).click();
  await expect(votesOn(rowan)).toHaveAttribute('data-votes', `${both}`);
  await expect(sedge.getByText('You are Sedge')).toBeVisible();
});

test('what is seen from outside: health, metrics, a copy for the operator alone', async () => {
  expect((await fetch(at('/api/health'))).status).toBe(200);
  const metrics = await (await fetch(at('/api/metrics'))).text();
  expect(metrics).toMatch(/^passround_rooms \d+$/m);
  expect(metrics).toMatch(/^passround_write_seconds_bucket\{le="\+Inf"\} \d+$/m);
  expect((await fetch(at('/api/backup'))).status).toBe(401);
  const copy = await fetch(at('/api/backup'), { headers: { authorization: `Bearer ${TOKEN}` } });
  expect(copy.status).toBe(200);
  const bytes = new Uint8Array(await copy.arrayBuffer());
  expect(new TextDecoder().decode(bytes.slice(0, 15))).toBe('SQLite format 3');
  // Whole pages of a database. Source: SQLite file format, section 1.3.2
  expect(bytes.length % 4096).toBe(0);
});
