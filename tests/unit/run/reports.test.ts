import { expect, test } from 'vitest';
import { closingLine, NONE, playwrightCount, sum, vitestCount } from '../../run/reports.mjs';

test('a Vitest file that broke before its first test counts as one failure', () => {
  const report = {
    numPassedTests: 5,
    numFailedTests: 1,
    numPendingTests: 2,
    numTodoTests: 1,
    testResults: [
      { status: 'failed', assertionResults: [{}, {}] },
      { status: 'failed', assertionResults: [] },
      { status: 'passed', assertionResults: [{}] },
    ],
  };
  expect(vitestCount(report)).toEqual({ passed: 5, failed: 2, skipped: 3 });
});

test('a Playwright error outside of tests counts as one failure', () => {
  const report = { stats: { expected: 4, unexpected: 1, flaky: 1, skipped: 2 }, errors: [{}] };
  expect(playwrightCount(report)).toEqual({ passed: 5, failed: 2, skipped: 2 });
});

test('counts add up', () => {
  const count = { passed: 1, failed: 2, skipped: 3 };
  expect(sum(sum(NONE, count), count)).toEqual({ passed: 2, failed: 4, skipped: 6 });
});

test.each([
  [{ passed: 812, failed: 0, skipped: 0 }, '812 passed, 0 failed'],
  [{ passed: 0, failed: 3, skipped: 2 }, '0 passed, 3 failed, 2 skipped'],
])('the closing line of %o is "%s"', (count, line) => {
  expect(closingLine(count)).toBe(line);
});
