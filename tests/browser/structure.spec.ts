import type { Page } from '@playwright/test';
import { faultsOf } from '../kit/axe';
import { expect, test } from '../kit/browser-test';
import type { Program } from '../kit/program';
import { startProgram } from '../kit/program';

let program: Program;
test.beforeAll(async () => {
  program = await startProgram();
});
test.afterAll(async () => {
  await program.end();
});

/** Where measures stand, by their ids, as a page shows them. */
function measures(page: Page): Promise<readonly string[]> {
  return page
    .locator('.column')
    .evaluateAll((all) => all.map((one) => one.getAttribute('data-measure') ?? ''));
}

test('a leader splits a measure, gives a part two endings and a pickup, and takes it back; a student sees it all', async ({
  browser,
}) => {
  const leader = await (await browser.newContext()).newPage();
  await leader.goto(program.url);
  await leader.getByRole('button', { name: 'Open the demo' }).click();
  await leader.locator('[data-live]').waitFor();
  await leader.getByText('Links to hand out').click();
  const join = (await leader.locator('[data-link=join]').textContent()) ?? '';
  const student = await (await browser.newContext()).newPage();
  await student.goto(join);
  await student.locator('[data-live]').waitFor();
  const before = await measures(leader);
  const status = leader.locator('.structure-bar [role=status]');

  await leader.getByRole('button', { name: 'vary it measure 2', exact: true }).click();
  await leader.getByText('This measure in the tune').click();
  await leader.getByLabel('slot to split it before').selectOption({ label: '7' });
  await leader.getByRole('button', { name: 'split it before slot' }).click();
  await expect(status).toContainText('Measure 2 is two measures now.');
  await expect(student.locator('.column')).toHaveCount(before.length + 1);
  await leader.getByRole('button', { name: 'take back what I changed' }).click();
  await expect(student.locator('.column')).toHaveCount(before.length);
  expect(await measures(student)).toEqual(before);

  await leader.getByRole('button', { name: 'vary it measure 8', exact: true }).click();
  await leader.getByText('This measure in the tune').click();
  await leader.getByRole('button', { name: 'first and second ending from here' }).click();
  await expect(status).toContainText('the part ends in two ways');
  await expect(student.locator('.column')).toHaveCount(before.length + 1);
  await leader.getByRole('button', { name: 'take back what I changed' }).click();

  // A panel of a part; what cannot be is refused in words.
  await leader.getByText("The tune's parts, their order").click();
  const partA = leader.locator('.structure li', { hasText: 'Part A' });
  await partA.getByRole('button', { name: 'begin it with a pickup of' }).click();
  await expect(status).toContainText('Part A begins with a pickup');
  await expect(student.locator('.column')).toHaveCount(before.length + 1);
  await leader.getByLabel('A pass plays the parts in this order').fill('A Q');
  await leader.getByRole('button', { name: 'Play them so' }).click();
  await expect(status).toHaveText('There is no part Q. The tune has A, B.');
  await leader.getByLabel('A pass plays the parts in this order').fill('a b');
  await leader.getByLabel('A pass plays the parts in this order').press('Enter');
  await expect(status).toContainText('A pass plays A B.');
  expect(await faultsOf(leader)).toEqual([]);

  // What was laid aside comes back, and it is kept: a new page has it too.
  await leader.getByRole('button', { name: 'vary it measure 3', exact: true }).click();
  await leader.getByText('This measure in the tune').click();
  await leader.locator('.unfolded').getByRole('button', { name: 'take it out' }).click();
  await expect(status).toContainText('Measure 3 is out of the tune');
  await leader.reload();
  await leader.locator('[data-live]').waitFor();
  await leader.getByText("The tune's parts, their order").click();
  const aside = leader.locator('section[aria-labelledby=aside] li', { hasText: 'its measure 3' });
  await aside.getByRole('button', { name: 'put it back' }).click();
  await expect(status).toContainText('is back in the tune');
  await expect(student.locator('.column')).toHaveCount(before.length + 1);
});
