import { readdirSync } from 'node:fs';
import { delimiter, join } from 'node:path';
import { runs } from '../../server/launch/chromium.mjs';
import { installDebian } from './debian.mjs';

const DEBIAN_POSTGRES = '/usr/lib/postgresql';
/** Where Debian keeps programs for root, which another account's PATH may lack. */
const DEBIAN_SBIN = '/usr/sbin';

/** What the tests of several nodes start, and the package of Debian that brings it. */
const WANTED = [
  { program: 'initdb', package: 'postgresql' },
  { program: 'postgres', package: 'postgresql' },
  { program: 'redis-server', package: 'redis-server' },
  { program: 'haproxy', package: 'haproxy' },
  { program: 'ip', package: 'iproute2' },
];

/** Without these no test of several nodes runs; the others are for single tests, which say so themselves. */
const ENGINES = ['initdb', 'postgres', 'redis-server'];

/**
 * Where a program lies: in PATH, or where Debian puts PostgreSQL's and root's.
 * @param {string} name
 * @returns {string | undefined}
 */
export function programPath(name) {
  const versions = runs(DEBIAN_POSTGRES) ? readdirSync(DEBIAN_POSTGRES) : [];
  const folders = [
    ...(process.env.PATH ?? '').split(delimiter),
    ...versions.map((version) => join(DEBIAN_POSTGRES, version, 'bin')),
    DEBIAN_SBIN,
  ];
  return folders.map((folder) => join(folder, name)).find(runs);
}

/** Are PostgreSQL and Redis here, so that tests can start servers of their own? */
export function hasEngines() {
  return ENGINES.every((name) => programPath(name) !== undefined);
}

/**
 * PostgreSQL and Redis for the tests of several nodes, installed where that can be done unasked; tells what could not be had.
 * @param {string} root the project's folder
 * @param {{ say: (line: string) => void }} options
 * @returns {Promise<{ PASSROUND_ENGINES?: 'required' }>} what the tests are told: where the engines are, their tests must run
 */
export async function ensureEngines(root, { say }) {
  const missing = () => WANTED.filter(({ program }) => programPath(program) === undefined);
  const packages = [...new Set(missing().map((each) => each.package))];
  if (packages.length > 0) await installDebian(root, packages, { say });
  const still = missing().map(({ program }) => program);
  if (still.length > 0)
    say(`Not here, so tests of several nodes that need them are skipped: ${still.join(', ')}.`);
  return hasEngines() ? { PASSROUND_ENGINES: 'required' } : {};
}
