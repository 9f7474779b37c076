import { existsSync, readFileSync } from 'node:fs';

/** @typedef {{ passed: number, failed: number, skipped: number }} Count */

/** @type {Count} */
export const NONE = { passed: 0, failed: 0, skipped: 0 };

/**
 * @param {Count} a
 * @param {Count} b
 * @returns {Count}
 */
export function sum(a, b) {
  return {
    passed: a.passed + b.passed,
    failed: a.failed + b.failed,
    skipped: a.skipped + b.skipped,
  };
}

/**
 * Counts of Vitest's JSON report. A file that failed before its first test counts as one failed test.
 * @param {{ numPassedTests: number, numFailedTests: number, numPendingTests: number, numTodoTests: number, testResults: readonly { status: string, assertionResults: readonly unknown[] }[] }} report
 * @returns {Count}
 */
export function vitestCount(report) {
  const broken = report.testResults.filter(
    (file) => file.status === 'failed' && file.assertionResults.length === 0,
  );
  return {
    passed: report.numPassedTests,
    failed: report.numFailedTests + broken.length,
    skipped: report.numPendingTests + report.numTodoTests,
  };
}

/**
 * Counts of Playwright's JSON report. An error outside of tests counts as one failed test, and a test that passed only when repeated as passed.
 * @param {{ stats: { expected: number, unexpected: number, flaky: number, skipped: number }, errors: readonly unknown[] }} report
 * @returns {Count}
 */
export function playwrightCount({ stats, errors }) {
  return {
    passed: stats.expected + stats.flaky,
    failed: stats.unexpected + errors.length,
    skipped: stats.skipped,
  };
}

/**
 * The count of a report that a test run should have left, or undefined if it left none.
 * @template Report
 * @param {string} path
 * @param {(report: Report) => Count} count
 * @returns {Count | undefined}
 */
export function readCount(path, count) {
  return existsSync(path) ? count(JSON.parse(readFileSync(path, 'utf8'))) : undefined;
}

/**
 * The line that closes a test run, such as "812 passed, 0 failed"; skipped tests follow if there are any.
 * @param {Count} count
 */
export function closingLine({ passed, failed, skipped }) {
  return `${passed} passed, ${failed} failed${skipped > 0 ? `, ${skipped} skipped` : ''}`;
}
