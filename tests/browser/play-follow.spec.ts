import type { Page } from '@playwright/test';
import { faultsOf } from '../kit/axe';
import { expect, test } from '../kit/browser-test';
import { demoBoard, visitor } from '../kit/demo-visit';
import type { Program } from '../kit/program';
import { startProgram } from '../kit/program';

let program: Program;
test.beforeAll(async () => {
  program = await startProgram();
});
test.afterAll(async () => {
  await program.end();
});

const column = (page: Page, measure: string) => page.locator(`[data-measure="${measure}"]`);

test('everybody who follows is taken where the leader points; each may leave and come back', async ({
  browser,
}) => {
  const { links } = await demoBoard(program);
  const leader = await visitor(browser, program.url + links.lead);
  const student = await visitor(browser, program.url + links.join, {
    viewport: { width: 390, height: 700 },
  });
  for (const page of [leader, student]) await page.locator('[data-live]').waitFor();
  const point = async (measure: string) =>
    column(leader, measure).locator('.plain .tab').first().click();

  // Before the leader leads, nothing is pointed at.
  await point('m9');
  await expect(student.getByText('The leader shows')).toHaveCount(0);
  await leader.getByRole('button', { name: 'Lead the way' }).click();
  await point('m12');
  await expect(student.getByText('The leader shows measure 12.')).toBeVisible();
  await expect(column(student, 'm12')).toBeInViewport();
  await expect(student.locator('[data-pointed]')).toHaveAttribute('data-measure', 'm12');
  expect(await faultsOf(student)).toEqual([]);

  // A variant is pointed at by itself.
  const card = leader.locator('[data-variant]').first();
  await card.locator('.tab').first().click();
  const id = (await card.getAttribute('data-variant')) ?? '';
  await expect(student.locator(`[data-variant="${id}"]`)).toBeInViewport();

  // Who leaves is left where they are, and told all the same.
  await student.getByRole('button', { name: 'Look around on my own' }).click();
  await point('m16');
  await expect(student.getByText('The leader shows measure 16.')).toBeVisible();
  await expect(student.locator('[data-pointed]')).toHaveCount(0);
  await student.getByRole('button', { name: 'Follow the leader again' }).click();
  await expect(column(student, 'm16')).toBeInViewport();

  // The way ends.
  await leader.getByRole('button', { name: 'Lead the way' }).click();
  await expect(student.getByText('The leader shows')).toHaveCount(0);
});
