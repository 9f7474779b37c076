import { describe, expect, test } from 'vitest';
import { chosenSteps, STEPS } from '../../run/steps.mjs';

const titles = (...args: string[]) => chosenSteps(args)?.map((step) => step.title);

describe('the steps of a test run', () => {
  test('are all of them unless some are asked for', () => {
    expect(chosenSteps([])).toBe(STEPS);
  });

  test.each([
    ['types', ['Types']],
    ['lint', ['Lint and format', 'Unused code and packages']],
    ['unit', ['Tests of the parts']],
    ['server', ['Build', 'Tests of the server']],
    ['browser,types', ['Types', 'Build', 'Pages in the browser', 'Time in the browser']],
  ])('--only %s asks for %o, in the usual order', (groups, expected) => {
    expect(titles('--only', groups)).toEqual(expected);
  });

  test.each([
    [['--only']],
    [['--only', 'units']],
    [['--only', 'unit,']],
    [['unit']],
    [['--only', 'unit', 'x']],
  ])('%o is not understood', (args) => {
    expect(titles(...args)).toBeUndefined();
  });

  test('put the build before whatever needs it', () => {
    const build = STEPS.findIndex((step) => step.makesBuild);
    const needing = STEPS.findIndex((step) => step.needsBuild);
    expect(build).toBeGreaterThanOrEqual(0);
    expect(needing).toBeGreaterThan(build);
  });
});
