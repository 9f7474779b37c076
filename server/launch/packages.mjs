import { createHash } from 'node:crypto';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { npmCommand, runQuietly } from './child.mjs';
import { PlainFailure } from './failure.mjs';

/**
 * @typedef {{ version?: string, dev?: boolean, optional?: boolean, devOptional?: boolean }} LockedPackage
 * @typedef {{ packages: Readonly<Record<string, LockedPackage>> }} Lock package-lock.json, or npm's record of what it installed
 */

/**
 * Why the packages must be installed (words that follow "because"), or undefined if node_modules is in step.
 * The stamp is ours, written after an install. Where it does not fit, npm's own record (node_modules/.package-lock.json)
 * decides, so that an install by hand is not repeated.
 * @param {object} found
 * @param {Lock} found.lock
 * @param {string} found.wanted    the stamp that would be right now
 * @param {string | undefined} found.stamp
 * @param {Lock | undefined} found.record
 * @param {boolean} found.dev      whether development packages are needed
 * @returns {string | undefined}
 */
export function installNeed({ lock, wanted, stamp, record, dev }) {
  if (record === undefined) return 'nothing is installed yet';
  const [machine] = wanted.split(' ');
  if (stamp !== undefined && stamp.split(' ')[0] !== machine)
    return 'the packages here are for another kind of machine';
  const missing = Object.entries(lock.packages).find(([path, wantedPackage]) => {
    if (path === '') return false;
    const installed = record.packages[path];
    if (installed !== undefined) return installed.version !== wantedPackage.version;
    if (wantedPackage.optional || wantedPackage.devOptional) return false;
    return dev || !wantedPackage.dev;
  });
  if (missing === undefined) return undefined;
  return stamp === undefined || stamp === wanted
    ? `${missing[0]} is missing or has another version`
    : 'package-lock.json has changed';
}

/**
 * Brings node_modules into step with package-lock.json, by `npm ci` where it is not.
 * @param {string} root the project's folder
 * @param {{ dev: boolean, say: (line: string) => void }} options
 * @throws {PlainFailure} if npm fails; what npm said has been passed to `say`
 */
export async function ensureInstalled(root, { dev, say }) {
  const stampPath = join(root, 'node_modules', '.passround-install');
  const recordPath = join(root, 'node_modules', '.package-lock.json');
  const lockText = readFileSync(join(root, 'package-lock.json'), 'utf8');
  const wanted = `${process.platform}-${process.arch} ${createHash('sha256').update(lockText).digest('hex')}`;
  const stamp = existsSync(stampPath) ? readFileSync(stampPath, 'utf8') : undefined;
  const need = installNeed({
    lock: JSON.parse(lockText),
    wanted,
    stamp,
    record: existsSync(recordPath) ? JSON.parse(readFileSync(recordPath, 'utf8')) : undefined,
    dev,
  });
  if (need !== undefined) {
    say(`Installing the packages, because ${need} (npm ci).`);
    const args = dev ? ['ci', '--include=dev'] : ['ci'];
    const { code, output } = await runQuietly(npmCommand(args), { cwd: root, env: process.env });
    if (code !== 0) {
      say(output);
      throw new PlainFailure(
        `The packages could not be installed: npm ci ended with code ${code}, and its own lines above say why.`,
      );
    }
  }
  if (stamp !== wanted) writeFileSync(stampPath, wanted);
}
