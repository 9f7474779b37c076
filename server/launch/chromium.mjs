import { accessSync, constants } from 'node:fs';
import { posix, win32 } from 'node:path';
import { PlainFailure } from './failure.mjs';

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
 * @property {import('./child.mjs').Environment} env
 * @property {(path: string) => boolean} runs whether there is a program at that path
 */

/** @type {Machine} */
const THIS_MACHINE = { platform: process.platform, env: process.env, runs };

/** @param {string} path */
export function runs(path) {
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
