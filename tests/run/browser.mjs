import { createRequire } from 'node:module';
import { join } from 'node:path';
import { packageCommand, runQuietly } from '../../server/launch/child.mjs';
import { findBrowser, runs } from '../../server/launch/chromium.mjs';
import { PlainFailure } from '../../server/launch/failure.mjs';
import { installDebian } from './debian.mjs';

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
  const here = () => findBrowser() ?? (runs(downloaded()) ? downloaded() : undefined);
  const before = here();
  if (before !== undefined) return before;
  say('No Chromium is here.');
  await installDebian(root, ['chromium'], { say });
  const installed = here();
  if (installed !== undefined) return installed;
  say('Downloading a Chromium that only Playwright uses.');
  const download = packageCommand('@playwright/test/cli.js', ['install', 'chromium']);
  say((await runQuietly(download, { cwd: root, env: process.env })).output);
  const found = here();
  if (found !== undefined) return found;
  throw new PlainFailure(
    'There is no browser for the tests and none could be installed (the lines above say why); install Chromium or Chrome, or name one in CHROMIUM_PATH.',
  );
}
