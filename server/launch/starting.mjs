import { spawn } from 'node:child_process';
import { constants } from 'node:os';
import { resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { checkAddress, checkDataFolder, readAddress } from './address.mjs';
import { tellPlainly } from './failure.mjs';
import { ensureInstalled } from './packages.mjs';
import { ensureBuilt } from './pages.mjs';

/** `npm start`: checks, installs, builds, then runs the server until it ends; the exit code is the server's. */
export async function start() {
  const root = fileURLToPath(new URL('../..', import.meta.url));
  const say = (/** @type {string} */ line) => process.stdout.write(`${line}\n`);
  await tellPlainly(async () => {
    await checkAddress(readAddress(process.env));
    checkDataFolder(resolve(root, process.env.DATA_DIR || 'data'));
    await ensureInstalled(root, { dev: false, say });
    await ensureBuilt(root, { say });
    return serve(root);
  });
}

/**
 * Runs the server as a child that shares this terminal, and hands it the signals that ask us to stop.
 * On Windows the console tells every process itself, and passing a signal on would kill the child outright.
 * @param {string} root
 * @returns {Promise<number>} the server's exit code; 128 and the signal's number if a signal ended it
 */
function serve(root) {
  const child = spawn(process.execPath, ['--import', 'tsx', 'server/main.ts'], {
    cwd: root,
    env: { ...process.env, NODE_ENV: 'production', NEXT_TELEMETRY_DISABLED: '1' },
    stdio: 'inherit',
  });
  for (const signal of /** @type {const} */ (['SIGINT', 'SIGTERM', 'SIGHUP'])) {
    process.on(signal, () => {
      if (process.platform !== 'win32') child.kill(signal);
    });
  }
  return new Promise((done, failed) => {
    child.on('error', failed);
    child.on('exit', (code, signal) =>
      done(code ?? 128 + (signal === null ? 0 : constants.signals[signal])),
    );
  });
}
