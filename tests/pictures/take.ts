import { join } from 'node:path';
import { chromium } from '@playwright/test';
import { demoBoard } from '../kit/demo-visit';
import { startProgram } from '../kit/program';

/**
 * Takes the pictures of README from the running program, with the demo board: `npm run pictures`, after a build. The names in them
 * are invented.
 */
async function take(): Promise<void> {
  const program = await startProgram();
  const path = process.env.CHROMIUM_PATH ?? '/usr/bin/chromium';
  const browser = await chromium.launch({ executablePath: path, args: ['--no-sandbox'] });
  const page = await browser.newPage({ viewport: { width: 1280, height: 900 } });
  const { board, links } = await demoBoard(program);
  await page.goto(program.url + links.lead);
  await page.locator('[data-live]').waitFor();
  await page.screenshot({ path: join(import.meta.dirname, 'board.png') });
  await page.getByRole('button', { name: 'vary it measure 2', exact: true }).click();
  await page.locator('.offer').first().waitFor();
  await page.locator('.unfolded').screenshot({ path: join(import.meta.dirname, 'workbench.png') });
  await page.getByRole('button', { name: 'Leave it' }).click();
  await page.getByRole('button', { name: 'Agreed', exact: true }).click();
  await page.goto(`${program.url}/b/${board}/play?pass=2`);
  await page.getByRole('heading', { name: 'Pass 2', exact: true }).waitFor();
  await page.getByRole('button', { name: 'Count in and start at pass 2' }).click();
  await page.waitForFunction(() => {
    const { visit, slot } =
      document.querySelector<HTMLElement>('[data-testid=play]')?.dataset ?? {};
    return visit === '2' && slot === '4';
  });
  await page.screenshot({ path: join(import.meta.dirname, 'play.png') });
  await page.setViewportSize({ width: 820, height: 1100 });
  await page.goto(`${program.url}/b/${board}/sheet`);
  await page.emulateMedia({ media: 'print' });
  // The margins are the paper's, which a picture of the page has not.
  await page.locator('main').evaluate((main) => main.style.setProperty('padding', '40px'));
  await page.screenshot({ path: join(import.meta.dirname, 'sheet.png') });
  await browser.close();
  await program.end();
}

await take();
