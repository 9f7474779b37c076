import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { type AddressInfo, createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, afterEach, describe, expect, test } from 'vitest';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
/** The first start of a clean clone may build the pages. */
const BUILD_MS = 300_000;
const folder = mkdtempSync(join(tmpdir(), 'passround-start-'));
/** Where a process leads a group, what it started can be ended with it. */
const WITH_GROUPS = process.platform !== 'win32';
const running = new Set<ChildProcess>();

afterEach(() => {
  for (const child of running) endWithChildren(child);
  running.clear();
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function endWithChildren(child: ChildProcess): void {
  if (child.exitCode !== null || child.pid === undefined) return;
  if (WITH_GROUPS) process.kill(-child.pid, 'SIGKILL');
  else child.kill();
}

/** `npm start`, without npm around it. */
function start(env: Readonly<Record<string, string>>) {
  const child = spawn(process.execPath, ['server/launch/start.mjs'], {
    cwd: ROOT,
    env: { ...process.env, PORT: '0', HOST: '127.0.0.1', DATA_DIR: join(folder, 'data'), ...env },
    detached: WITH_GROUPS,
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  running.add(child);
  const said = { out: '', err: '' };
  child.stdout.on('data', (chunk) => {
    said.out += chunk;
  });
  child.stderr.on('data', (chunk) => {
    said.err += chunk;
  });
  const ended = once(child, 'close').then(([code]) => ({ code, ...said }));
  const address = () =>
    new Promise<string>((found, failed) => {
      const look = () => {
        const [match] = /http:\/\/[^\s/]+:\d+/.exec(said.out) ?? [];
        if (match) found(match);
      };
      child.stdout.on('data', look);
      child.on('close', () => failed(new Error(`ended early: ${said.out}${said.err}`)));
      look();
    });
  return { child, ended, address };
}

describe('a start that cannot work ends at once with one sentence', () => {
  test('when the port is taken', async () => {
    const other = createServer().listen(0, '127.0.0.1');
    await once(other, 'listening');
    const { port } = other.address() as AddressInfo;
    try {
      expect(await start({ PORT: String(port) }).ended).toEqual({
        code: 1,
        out: '',
        err: `Port ${port} on 127.0.0.1 is taken by another program; stop that one, or set PORT to another number.\n`,
      });
    } finally {
      other.close();
    }
  });

  test('when the data folder cannot be written', async () => {
    const file = join(folder, 'a-file');
    writeFileSync(file, '');
    expect(await start({ DATA_DIR: file }).ended).toEqual({
      code: 1,
      out: '',
      err: `The data folder ${file} cannot be written (there is a file in its place); make it writable, or set DATA_DIR to another folder.\n`,
    });
  });

  test('when PORT is no number', async () => {
    expect(await start({ PORT: 'http' }).ended).toEqual({
      code: 1,
      out: '',
      err: 'PORT must be a whole number from 0 to 65535, not "http".\n',
    });
  });
});

describe('a start that works', () => {
  test(
    'serves until it is asked to stop, and a second one neither installs nor builds',
    async () => {
      for (const turn of ['first', 'second']) {
        const { child, ended, address } = start({});
        const health = await fetch(`${await address()}/api/health`);
        expect(health.status, turn).toBe(200);
        expect(await health.json(), turn).toMatchObject({ ok: true });
        child.kill('SIGTERM');
        const { code, out, err } = await ended;
        expect({ code, err }, turn).toEqual({ code: 0, err: '' });
        if (turn === 'second') expect(out).not.toMatch(/Installing|Building/);
      }
    },
    BUILD_MS,
  );
});
