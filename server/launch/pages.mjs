import { createHash } from 'node:crypto';
import { existsSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { packageCommand, runQuietly } from './child.mjs';
import { PlainFailure } from './failure.mjs';

/** What the built pages are made from: folders, and files of the project's root by the beginning of their names. */
const FOLDERS = ['app', 'lib', 'public', 'server', 'shared'];
const ROOT_FILES = /^(?:next\.config\.|postcss\.config\.|package(?:-lock)?\.json$|tsconfig\.json$)/;
/** Left by editors and systems, never part of a build. */
const STRAY = /^\.|~$/;

/**
 * The files that the built pages are made from, as sorted paths with `/`, below the project's folder.
 * @param {string} root
 * @returns {string[]}
 */
export function buildInputs(root) {
  /** @type {string[]} */
  const found = readdirSync(root).filter((name) => ROOT_FILES.test(name));
  const walk = (/** @type {string} */ folder) => {
    for (const entry of readdirSync(join(root, folder), { withFileTypes: true })) {
      if (STRAY.test(entry.name)) continue;
      const path = `${folder}/${entry.name}`;
      if (entry.isDirectory()) walk(path);
      else found.push(path);
    }
  };
  for (const folder of FOLDERS) if (existsSync(join(root, folder))) walk(folder);
  return found.sort();
}

/**
 * One hash over names and contents of all inputs; changes when any of them changes, comes, goes or is renamed.
 * @param {string} root
 * @returns {string} SHA-256 in hex
 */
export function inputsHash(root) {
  const hash = createHash('sha256');
  for (const path of buildInputs(root)) {
    const content = readFileSync(join(root, path));
    hash.update(`${path}\0${content.length}\0`).update(content);
  }
  return hash.digest('hex');
}

/**
 * Builds the pages where they are older than what they are made from.
 * @param {string} root
 * @param {{ say: (line: string) => void }} options
 * @throws {PlainFailure} if the build fails; its output has been passed to `say`
 */
export async function ensureBuilt(root, { say }) {
  const stampPath = join(root, '.next', 'passround-inputs');
  const wanted = inputsHash(root);
  const stamp = existsSync(stampPath) ? readFileSync(stampPath, 'utf8') : undefined;
  if (stamp === wanted && existsSync(join(root, '.next', 'BUILD_ID'))) return;
  say(
    stamp === undefined
      ? 'Building the pages.'
      : 'Building the pages again, because their sources have changed.',
  );
  rmSync(stampPath, { force: true });
  const { code, output } = await runQuietly(packageCommand('next/dist/bin/next', ['build']), {
    cwd: root,
    env: { ...process.env, NODE_ENV: 'production', NEXT_TELEMETRY_DISABLED: '1' },
  });
  if (code !== 0) {
    say(output);
    throw new PlainFailure(
      `The pages could not be built: next build ended with code ${code}, and its own lines above say why.`,
    );
  }
  writeFileSync(stampPath, wanted);
}
