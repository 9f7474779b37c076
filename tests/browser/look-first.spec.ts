import { toMidi } from '../../lib/formats/midi/write';
import { faultsOf } from '../kit/axe';
import { expect, test } from '../kit/browser-test';
import { visitor } from '../kit/demo-visit';
import { editedTune } from '../kit/layouts';
import type { Program } from '../kit/program';
import { startProgram } from '../kit/program';

let program: Program;
test.beforeAll(async () => {
  program = await startProgram();
});
test.afterAll(async () => {
  await program.end();
});

const SECOND = 'X:2\nT:The Second\nM:4/4\nL:1/8\nK:G\nG2B2d2B2|G8|]\n';
const BOOK = `X:1\nT:The First\nM:6/8\nL:1/8\nK:D\nd3 f3|d6|]\n\n${SECOND}`;

test('one of several tunes is chosen, a wrong note put right by key and by button, heard, and a board starts from that', async ({
  browser,
}) => {
  const page = await visitor(browser, program.url);
  await page.getByLabel('Paste it as ABC, or drop a file here').fill(BOOK);
  await page
    .getByLabel('Which tune of the text')
    .selectOption({ label: '2. The Second, 4/4, in G' });
  await page.getByRole('button', { name: 'Look at it first' }).click();
  await expect(page.getByRole('heading', { name: 'The Second' })).toBeVisible();
  await page.getByText('Correct the melody').click();
  const row = page.getByRole('listitem', { name: 'part A, measure 1' });
  await row.getByRole('button', { name: 'D5, 2 slots' }).click();
  await page.getByRole('button', { name: 'lower ↓', exact: true }).click();
  await row.getByRole('button', { name: 'C#5, 2 slots' }).press('ArrowDown');
  await row.getByRole('button', { name: 'C5, 2 slots' }).press('+');
  await row.getByRole('button', { name: 'C5, 3 slots' }).press('ArrowUp');
  await page.getByRole('button', { name: /^take back the last correction/ }).click();
  await expect(row.getByRole('button')).toHaveText(['G4', 'B4', 'C5', 'B4']);
  expect(await faultsOf(page)).toEqual([]);
  const alone = page.getByRole('button', { name: 'hear the melody alone of part A' });
  await alone.click();
  await expect(alone).toHaveAttribute('aria-pressed', 'true');
  await alone.click();
  await page.getByRole('button', { name: 'Start a board' }).click();
  await page.locator('[data-live]').waitFor();
  await expect(page.getByRole('heading', { name: 'The Second', level: 1 })).toBeVisible();
  // C5 on the second string of open G, where the tab had the open first string before.
  await expect(page.locator('.plain').first().getByRole('img')).toHaveAccessibleName(
    /string 2 at fret 1/,
  );
});

test('a MIDI file is looked at track by track before there is a board', async ({ browser }) => {
  const page = await visitor(browser, program.url);
  await page.getByLabel(/^or choose a file/).setInputFiles({
    name: 'two.mid',
    mimeType: 'audio/midi',
    buffer: Buffer.from(toMidi({ tune: editedTune(1) })),
  });
  const tracks = page.getByLabel('Which track is the melody');
  await expect(tracks.getByRole('option')).toHaveCount(2);
  await page.getByRole('button', { name: 'Look at it first' }).click();
  await expect(page.getByText(/\d+ of \d+ melody notes are kept/)).toBeVisible();
  await tracks.selectOption({ index: 1 });
  await expect(page.getByRole('heading', { name: 'Other settings' })).toHaveCount(0);
});
