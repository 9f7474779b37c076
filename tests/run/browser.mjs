import { accessSync, constants, existsSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join, posix, win32 } from 'node:path';
import { packageCommand, runQuietly } from '../../server/launch/child.mjs';
import { PlainFailure } from '../../server/launch/failure.mjs';

const NAMES = ['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable', 'chrome'];
const MAC_APPS = [
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
];
const WINDOWS_ROOTS = ['PROGRAMFILES', 'PROGRAMFILES(X86)', 'LOCALAPPDATA'];
const WINDOWS_APPS = [
  'Google\\Chrome\\Application\\chrome.exe',
  'Chromium\\Application\\chrome.exe',
];

/**
 * What finding a browser asks of the machine; tests give their own.
 * @typedef {object} Machine
 * @property {NodeJS.Platform} platform
 * @property {import('../../server/launch/child.mjs').Environment} env
 * @property {(path: string) => boolean} runs whether there is a program at that path
 */

/** @type {Machine} */
const THIS_MACHINE = { platform: process.platform, env: process.env, runs };

/** @param {string} path */
function runs(path) {
  try {
    accessSync(path, process.platform === 'win32' ? constants.F_OK : constants.X_OK);
    return true;
  } catch {
    return false;
  }
}

/**
 * Every place where a Chromium or Chrome of the system may be, best first: PATH, then the system's usual places.
 * @param {Machine} machine
 * @returns {string[]}
 */
export function browserPlaces({ platform, env }) {
  const windows = platform === 'win32';
  const path = (windows ? env.Path : env.PATH) ?? env.PATH ?? '';
  const folders = path.split(windows ? win32.delimiter : posix.delimiter).filter(Boolean);
  const { join: joined } = windows ? win32 : posix;
  const inPath = NAMES.flatMap((name) =>
    folders.map((folder) => joined(folder, windows ? `${name}.exe` : name)),
  );
  if (platform === 'darwin') return [...inPath, ...MAC_APPS];
  if (!windows) return inPath;
  const roots = WINDOWS_ROOTS.map((name) => env[name]).filter((root) => root !== undefined);
  return [...inPath, ...WINDOWS_APPS.flatMap((app) => roots.map((root) => joined(root, app)))];
}

/**
 * The browser that is already here: the one CHROMIUM_PATH names, else the system's.
 * @param {Machine} machine
 * @returns {string | undefined} its path
 * @throws {PlainFailure} if CHROMIUM_PATH names nothing that runs
 */
export function findBrowser(machine = THIS_MACHINE) {
  const given = machine.env.CHROMIUM_PATH;
  if (!given) return browserPlaces(machine).find(machine.runs);
  if (machine.runs(given)) return given;
  throw new PlainFailure(
    `CHROMIUM_PATH is "${given}", where there is no program; name a Chromium or Chrome, or leave it out.`,
  );
}

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
