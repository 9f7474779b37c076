import { spawn } from 'node:child_process';
import { existsSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';

/**
 * @typedef {Readonly<Record<string, string | undefined>>} Environment names and values, as in process.env
 * @typedef {{ command: string, args: readonly string[], shell?: boolean }} Command
 * @typedef {{ code: number, output: string }} Ended exit code (127 if it could not be started) and what it printed, both streams in one
 */

/**
 * Runs a command to its end and keeps what it prints, up to the last 200,000 characters.
 * @param {Command} command
 * @param {{ cwd: string, env: Environment }} where
 * @returns {Promise<Ended>}
 */
export function runQuietly({ command, args, shell = false }, { cwd, env }) {
  return new Promise((done) => {
    let output = '';
    const child = spawn(command, args, {
      cwd,
      env: copied(env),
      shell,
      stdio: ['ignore', 'pipe', 'pipe'],
    });
    const keep = (/** @type {Buffer} */ chunk) => {
      output = (output + chunk.toString()).slice(-200_000);
    };
    child.stdout.on('data', keep);
    child.stderr.on('data', keep);
    child.on('error', (error) => done({ code: 127, output: `${output}${error.message}\n` }));
    child.on('close', (code) => done({ code: code ?? 1, output }));
  });
}

/**
 * Runs a command to its end with its output shown as it comes.
 * @param {Command} command
 * @param {{ cwd: string, env: Environment }} where
 * @returns {Promise<number>} exit code; 127 if it could not be started, 1 if a signal ended it
 */
export function runShown({ command, args, shell = false }, { cwd, env }) {
  return new Promise((done) => {
    const child = spawn(command, args, {
      cwd,
      env: copied(env),
      shell,
      stdio: ['ignore', 'inherit', 'inherit'],
    });
    child.on('error', (error) => {
      process.stdout.write(`${error.message}\n`);
      done(127);
    });
    child.on('close', (code) => done(code ?? 1));
  });
}

/**
 * Next's types ask for a NODE_ENV in every environment; a child may well go without.
 * @param {Environment} env
 */
function copied(env) {
  return /** @type {NodeJS.ProcessEnv} */ ({ ...env });
}

/**
 * How to run npm here: by its script and this Node where it can be found, since Windows starts `npm.cmd` only through a shell.
 * @param {readonly string[]} args plain words, nothing that a shell would read
 * @param {{ env: Environment, execPath: string, exists: (path: string) => boolean }} machine
 * @returns {Command}
 */
export function npmCommand(
  args,
  machine = { env: process.env, execPath: process.execPath, exists: existsSync },
) {
  const beside = dirname(machine.execPath);
  const given = machine.env.npm_execpath ?? '';
  const script = [
    ...(basename(given) === 'npm-cli.js' ? [given] : []),
    join(beside, 'node_modules', 'npm', 'bin', 'npm-cli.js'),
    join(beside, '..', 'lib', 'node_modules', 'npm', 'bin', 'npm-cli.js'),
  ].find(machine.exists);
  if (script === undefined) return { command: 'npm', args, shell: true };
  return { command: machine.execPath, args: [script, ...args] };
}

/**
 * A program that a package brings, run by this Node.
 * @param {string} script path below node_modules
 * @param {readonly string[]} args
 * @returns {Command}
 */
export function packageCommand(script, args) {
  return { command: process.execPath, args: [join('node_modules', script), ...args] };
}
