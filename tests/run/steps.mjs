import { join } from 'node:path';
import { packageCommand, runShown } from '../../server/launch/child.mjs';
import { PlainFailure } from '../../server/launch/failure.mjs';
import { ensureBuilt } from '../../server/launch/pages.mjs';
import { ensureBrowser } from './browser.mjs';
import { ensureEngines } from './engines.mjs';
import { ensurePoppler } from './poppler.mjs';
import { playwrightCount, readCount, vitestCount } from './reports.mjs';

/**
 * @typedef {{ root: string, reports: string, say: (line: string) => void }} Workplace `reports`: a folder for this run's test reports
 * @typedef {{ ok: boolean, count?: import('./reports.mjs').Count | undefined }} Outcome
 * @typedef {object} Step
 * @property {string} title
 * @property {readonly string[]} groups the words of `--only` that ask for it
 * @property {boolean} tests            whether it runs tests, which are then counted
 * @property {boolean} [makesBuild]
 * @property {boolean} [needsBuild]     not worth running when the build failed
 * @property {(workplace: Workplace) => Promise<Outcome>} run
 */

/** The checks in the order they run: quick ones first, and the build before whatever needs it. @type {readonly Step[]} */
export const STEPS = [
  {
    title: 'Types',
    groups: ['types'],
    tests: false,
    run: async ({ root }) => ({
      ok:
        (await run(root, packageCommand('next/dist/bin/next', ['typegen']))) &&
        (await run(root, packageCommand('typescript/bin/tsc', ['--noEmit']))),
    }),
  },
  {
    title: 'Lint and format',
    groups: ['lint'],
    tests: false,
    run: async ({ root }) => ({
      ok: await run(
        root,
        packageCommand('@biomejs/biome/bin/biome', ['check', '--error-on-warnings']),
      ),
    }),
  },
  {
    title: 'Unused code and packages',
    groups: ['lint'],
    tests: false,
    run: async ({ root }) => ({ ok: await run(root, packageCommand('knip/bin/knip.js', [])) }),
  },
  {
    title: 'Tests of the parts',
    groups: ['unit'],
    tests: true,
    run: (workplace) => vitest(workplace, 'unit', ['--exclude', 'tests/server/**']),
  },
  {
    title: 'Build',
    groups: ['server', 'browser'],
    tests: false,
    makesBuild: true,
    run: ({ root, say }) => orFailed(say, () => ensureBuilt(root, { say })),
  },
  {
    title: 'Tests of the server',
    groups: ['server'],
    tests: true,
    needsBuild: true,
    run: async (workplace) =>
      vitest(
        workplace,
        'server',
        ['tests/server/'],
        await ensureEngines(workplace.root, workplace),
      ),
  },
  {
    title: 'Pages in the browser',
    groups: ['browser'],
    tests: true,
    needsBuild: true,
    run: (workplace) => playwright(workplace, 'pages', 2),
  },
  {
    title: 'Time in the browser',
    groups: ['browser'],
    tests: true,
    needsBuild: true,
    run: (workplace) => playwright(workplace, 'time', 1),
  },
];

/**
 * The steps that the arguments ask for: all, or with `--only a,b` those of the named groups.
 * @param {readonly string[]} args
 * @returns {readonly Step[] | undefined} undefined if the arguments are none that we know
 */
export function chosenSteps(args) {
  if (args.length === 0) return STEPS;
  const groups = (args[1] ?? '').split(',');
  const known = groups.every((group) => STEPS.some((step) => step.groups.includes(group)));
  if (args.length !== 2 || args[0] !== '--only' || !known) return undefined;
  return STEPS.filter((step) => step.groups.some((group) => groups.includes(group)));
}

/**
 * @param {Workplace} workplace
 * @param {string} name of the report
 * @param {readonly string[]} args
 * @param {import('../../server/launch/child.mjs').Environment} more environment
 * @returns {Promise<Outcome>}
 */
async function vitest({ root, reports }, name, args, more = {}) {
  const report = join(reports, `${name}.json`);
  const ok = await run(
    root,
    packageCommand('vitest/vitest.mjs', [
      'run',
      ...args,
      '--reporter=default',
      '--reporter=json',
      `--outputFile.json=${report}`,
    ]),
    more,
  );
  const count = readCount(report, vitestCount);
  return { ok: ok && count !== undefined, count };
}

/**
 * @param {Workplace} workplace
 * @param {'pages' | 'time'} project of playwright.config.ts
 * @param {number} workers files that run side by side
 * @returns {Promise<Outcome>}
 */
function playwright({ root, reports, say }, project, workers) {
  return orFailed(say, async () => {
    const report = join(reports, `browser-${project}.json`);
    const browser = await ensureBrowser(root, { say });
    say(`Browser: ${browser}`);
    const poppler = await ensurePoppler(root, { say });
    const ok = await run(
      root,
      packageCommand('@playwright/test/cli.js', [
        'test',
        `--project=${project}`,
        `--workers=${workers}`,
      ]),
      {
        PASSROUND_CHROMIUM: browser,
        ...(poppler ? { PASSROUND_POPPLER: 'required' } : {}),
        PASSROUND_BROWSER_REPORT: report,
        ...(await ensureEngines(root, { say })),
      },
    );
    const count = readCount(report, playwrightCount);
    return { ok: ok && count !== undefined, count };
  });
}

/**
 * Turns a `PlainFailure` into a failed step, so that the other steps still run.
 * @param {(line: string) => void} say
 * @param {() => Promise<Outcome | void>} body
 * @returns {Promise<Outcome>}
 */
async function orFailed(say, body) {
  try {
    return (await body()) ?? { ok: true };
  } catch (error) {
    if (!(error instanceof PlainFailure)) throw error;
    say(error.message);
    return { ok: false };
  }
}

/**
 * @param {string} root
 * @param {import('../../server/launch/child.mjs').Command} command
 * @param {import('../../server/launch/child.mjs').Environment} more environment
 * @returns {Promise<boolean>} whether it ended well
 */
async function run(root, command, more = {}) {
  const { NODE_ENV: _, ...env } = process.env;
  const code = await runShown(command, {
    cwd: root,
    env: { ...env, NEXT_TELEMETRY_DISABLED: '1', ...more },
  });
  return code === 0;
}
