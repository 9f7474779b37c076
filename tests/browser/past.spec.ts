import { faultsOf, overhang } from '../kit/axe';
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

test('a leader looks at how the board was and returns to it; students cannot, and everybody sees that it was done', async ({
  browser,
}) => {
  const demo = await demoBoard(program);
  const at = (path: string) => `${program.url}${path}`;
  const leader = await visitor(browser, at(demo.links.lead));
  await leader.locator('[data-live]').waitFor();
  await leader.getByRole('button', { name: 'Agreed', exact: true }).click();
  await expect(leader.getByRole('button', { name: 'Make the passes again' })).toBeVisible();
  await leader.goto(at(`/b/${demo.board}/people`));
  await leader.locator('[data-live]').waitFor();
  await leader.locator('[data-measure="m3"]').getByRole('button', { name: 'take no more' }).click();
  await expect(leader.getByText('Shut: what comes from now on')).toHaveCount(1);
  await leader.getByRole('link', { name: 'How the board was' }).click();
  const agreed = leader.locator('[data-point]').filter({ hasText: 'passes were agreed' });
  await expect(agreed).toHaveCount(1);
  expect(await faultsOf(leader)).toEqual([]);
  await agreed.getByRole('link').click();
  await expect(leader.getByText('Nothing can be changed here.')).toBeVisible();
  await expect(leader.getByRole('heading', { name: 'The agreed passes' })).toBeVisible();
  expect(await faultsOf(leader)).toEqual([]);
  await leader.setViewportSize({ width: 390, height: 844 });
  expect(await overhang(leader)).toBe(0);
  const student = await visitor(browser, at(demo.links.join));
  const refused = await student.goto(leader.url());
  expect(await refused?.text()).not.toContain('Nothing can be changed here.');
  await leader.getByRole('button', { name: 'Return the board to this' }).click();
  await leader.getByRole('button', { name: 'Return now, for everybody' }).click();
  await leader.waitForURL(`**/b/${demo.board}`);
  await student.goto(at(`/b/${demo.board}/people`));
  await expect(student.getByText('A leader returned this board to how it was')).toBeVisible();
  await leader.goto(at(`/b/${demo.board}/people`));
  await leader.locator('[data-live]').waitFor();
  await expect(leader.getByText('Shut: what comes from now on')).toHaveCount(0);
});
