import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { tellPlainly } from '../../server/launch/failure.mjs';
import { ensureInstalled } from '../../server/launch/packages.mjs';
import { closingLine, NONE, sum } from './reports.mjs';
import { chosenSteps } from './steps.mjs';

const USAGE = 'Use: npm test [-- --only types,lint,unit,server,browser]';

/**
 * `npm test`: installs, then runs every check, the later ones too when one fails.
 * Ends with the line "N passed, N failed"; the exit code is 1 if anything failed or no test ran where tests were asked for.
 * @param {readonly string[]} args the command's own arguments
 */
export async function test(args) {
  const root = fileURLToPath(new URL('../..', import.meta.url));
  const say = (/** @type {string} */ line) => process.stdout.write(`${line}\n`);
  await tellPlainly(async () => {
    const steps = chosenSteps(args);
    if (steps === undefined) {
      say(USAGE);
      return 1;
    }
    await ensureInstalled(root, { dev: true, say });
    const reports = mkdtempSync(join(tmpdir(), 'passround-test-'));
    try {
      return await runAll(steps, { root, reports, say });
    } finally {
      rmSync(reports, { recursive: true, force: true });
    }
  });
}

/**
 * @param {readonly import('./steps.mjs').Step[]} steps
 * @param {import('./steps.mjs').Workplace} workplace
 * @returns {Promise<number>} exit code
 */
async function runAll(steps, workplace) {
  const { say } = workplace;
  let count = NONE;
  const lines = [];
  let failed = false;
  let built = true;
  for (const step of steps) {
    if (step.needsBuild && !built) {
      lines.push(`FAILED  ${step.title} (not run, because the build failed)`);
      continue;
    }
    say(`\n== ${step.title} ==`);
    const began = performance.now();
    const outcome = await step.run(workplace);
    const seconds = ((performance.now() - began) / 1000).toFixed(1);
    count = sum(count, outcome.count ?? NONE);
    failed ||= !outcome.ok;
    if (step.makesBuild) built = outcome.ok;
    lines.push(`${outcome.ok ? 'ok    ' : 'FAILED'}  ${step.title} (${seconds} s)`);
  }
  const ranNone = steps.some((step) => step.tests) && count.passed + count.failed === 0;
  if (ranNone) lines.push('FAILED  no test ran');
  say(`\n${lines.join('\n')}\n\n${closingLine(count)}`);
  return failed || ranNone || count.failed > 0 ? 1 : 0;
}
