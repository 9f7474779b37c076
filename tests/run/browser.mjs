import { existsSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { packageCommand, runQuietly } from '../../server/launch/child.mjs';
import { findBrowser, runs } from '../../server/launch/chromium.mjs';
import { PlainFailure } from '../../server/launch/failure.mjs';

/**
 * The ways to get a browser that is not here, in the order to try them.
 * @param {{ debian: boolean, root: boolean, sudo: boolean }} machine `debian`: apt-get is here; `sudo`: it asks for no password
 * @returns {('apt' | 'sudo apt' | 'playwright')[]}
 */
export function browserSources({ debian, root, sudo }) {
  if (!debian || !(root || sudo)) return ['playwright'];
  return [root ? 'apt' : 'sudo apt', 'playwright'];
}

/**
 * A browser for the tests, installed if none is here: Playwright's own if it was downloaded before, Debian's
 * package `chromium` where that can be installed unasked, else Playwright's download.
 * @param {string} root the project's folder, packages installed
 * @param {{ say: (line: string) => void }} options
 * @returns {Promise<string>} its path
 * @throws {PlainFailure} if there is none and none can be had
 */
export async function ensureBrowser(root, { say }) {
  const require = createRequire(join(root, 'package.json'));
  /** @type {() => string} */
  const downloaded = () => require('@playwright/test').chromium.executablePath();
  const here = findBrowser() ?? (runs(downloaded()) ? downloaded() : undefined);
  if (here !== undefined) return here;

  const where = { cwd: root, env: process.env };
  const debian = runs('/usr/bin/apt-get') && existsSync('/etc/debian_version');
  const isRoot = process.getuid?.() === 0;
  const sudo =
    debian &&
    !isRoot &&
    (await runQuietly({ command: 'sudo', args: ['-n', 'true'] }, where)).code === 0;
  for (const source of browserSources({ debian, root: isRoot, sudo })) {
    say(
      source === 'playwright'
        ? 'No Chromium is here; downloading one that only Playwright uses.'
        : "No Chromium is here; installing Debian's package chromium.",
    );
    for (const command of installCommands(source)) say((await runQuietly(command, where)).output);
    const found = findBrowser() ?? (runs(downloaded()) ? downloaded() : undefined);
    if (found !== undefined) return found;
  }
  throw new PlainFailure(
    'There is no browser for the tests and none could be installed (the lines above say why); install Chromium or Chrome, or name one in CHROMIUM_PATH.',
  );
}

/**
 * @param {'apt' | 'sudo apt' | 'playwright'} source
 * @returns {import('../../server/launch/child.mjs').Command[]}
 */
function installCommands(source) {
  if (source === 'playwright')
    return [packageCommand('@playwright/test/cli.js', ['install', 'chromium'])];
  const apt = (/** @type {string[]} */ ...args) =>
    source === 'apt'
      ? { command: 'apt-get', args }
      : { command: 'sudo', args: ['-n', 'apt-get', ...args] };
  return [apt('update'), apt('install', '-y', '--no-install-recommends', 'chromium')];
}
