import { existsSync } from 'node:fs';
import { runQuietly } from '../../server/launch/child.mjs';
import { runs } from '../../server/launch/chromium.mjs';

/**
 * The command before `apt-get` with which packages of Debian can be installed without asking anybody.
 * @param {{ debian: boolean, root: boolean, sudo: boolean }} machine `debian`: apt-get is here; `sudo`: it asks for no password
 * @returns {readonly string[] | undefined} undefined where they cannot
 */
export function installerPrefix({ debian, root, sudo }) {
  if (!debian || !(root || sudo)) return undefined;
  return root ? [] : ['sudo', '-n'];
}

/**
 * Installs packages of Debian where that can be done unasked; what happens is passed to `say`.
 * @param {string} folder where to run it
 * @param {readonly string[]} packages
 * @param {{ say: (line: string) => void }} options
 * @returns {Promise<boolean>} whether all are installed now
 */
export async function installDebian(folder, packages, { say }) {
  const where = { cwd: folder, env: process.env };
  const debian = runs('/usr/bin/apt-get') && existsSync('/etc/debian_version');
  const root = process.getuid?.() === 0;
  const asks = { command: 'sudo', args: ['-n', 'true'] };
  const sudo = debian && !root && (await runQuietly(asks, where)).code === 0;
  const prefix = installerPrefix({ debian, root, sudo });
  const names = packages.join(', ');
  if (prefix === undefined) {
    say(`Not installed, since Debian's packages cannot be had here unasked: ${names}.`);
    return false;
  }
  say(`Installing Debian's packages: ${names}.`);
  const aptGet = (/** @type {readonly string[]} */ ...words) => {
    const [command = 'apt-get', ...args] = [...prefix, 'apt-get', ...words];
    return runQuietly({ command, args }, where);
  };
  // An old list of packages may still do, so only the installation's own end counts.
  const updated = await aptGet('update');
  const { code, output } = await aptGet('install', '-y', '--no-install-recommends', ...packages);
  if (code !== 0) say(`${updated.output}${output}Not installed: ${names}.`);
  return code === 0;
}
