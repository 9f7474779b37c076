import type { ChildProcess } from 'node:child_process';
import { spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { chmodSync, chownSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import pg from 'pg';
import { programPath } from '../run/engines.mjs';
import { freePort } from './port';

/** A PostgreSQL server of a test's own, in a folder that is gone when it ends. */
export interface TestPostgres {
  /** The address of a new, empty database. */
  newDatabase(): Promise<string>;
  /** Ends it as a crash would, and starts it again on the same data. */
  restart(): Promise<void>;
  stop(): Promise<void>;
  start(): Promise<void>;
  /** Ends it for good. */
  end(): Promise<void>;
}

/** The account to run a database as: PostgreSQL does not run as root. Undefined: our own. */
function databaseAccount(): { readonly uid: number; readonly gid: number } | undefined {
  if (process.getuid?.() !== 0) return undefined;
  const id = (flag: string) => Number(spawnSync('id', [flag, 'postgres']).stdout.toString().trim());
  return { uid: id('-u'), gid: id('-g') };
}

function program(name: string): string {
  const path = programPath(name);
  if (path === undefined) throw new Error(`${name} is not installed`);
  return path;
}

async function isUp(port: number): Promise<boolean> {
  const client = new pg.Client({ host: '127.0.0.1', port, user: 'test', database: 'postgres' });
  client.on('error', () => undefined);
  try {
    await client.connect();
    await client.end();
    return true;
  } catch {
    return false;
  }
}

/** @param waits whether what is kept is on the disk when it is told; tests cut off servers, never their machine, and need not wait */
export async function startPostgres({ waits = false } = {}): Promise<TestPostgres> {
  const folder = mkdtempSync(join(tmpdir(), 'passround-postgres-'));
  const account = databaseAccount();
  chmodSync(folder, 0o700);
  if (account) chownSync(folder, account.uid, account.gid);
  const data = join(folder, 'data');
  const options = { ...account, cwd: folder, env: { ...process.env, LC_ALL: 'C' } };
  const made = spawnSync(
    program('initdb'),
    ['-D', data, '-U', 'test', '-A', 'trust', '-E', 'UTF8', '--no-sync'],
    options,
  );
  if (made.status !== 0) throw new Error(`initdb failed: ${made.stderr.toString()}`);
  const port = await freePort();
  let running: ChildProcess | undefined;
  let said = '';
  const start = async () => {
    const args = [
      '-D',
      data,
      '-p',
      String(port),
      '-h',
      '127.0.0.1',
      '-k',
      folder,
      ...(waits ? [] : ['-F']),
    ];
    const child = spawn(program('postgres'), args, {
      ...options,
      stdio: ['ignore', 'ignore', 'pipe'],
    });
    child.stderr?.on('data', (chunk: Buffer) => {
      said = `${said}${chunk.toString()}`.slice(-4000);
    });
    running = child;
    const end = performance.now() + 20_000;
    while (!(await isUp(port))) {
      if (child.exitCode !== null || performance.now() > end)
        throw new Error(`PostgreSQL did not start: ${said}`);
      await new Promise((turn) => setTimeout(turn, 20));
    }
  };
  const stop = async () => {
    const child = running;
    running = undefined;
    if (!child || child.exitCode !== null) return;
    const ended = once(child, 'exit');
    // SIGQUIT is PostgreSQL's "immediate shutdown": connections are cut, and it recovers from its log at the next start.
    child.kill('SIGQUIT');
    await ended;
  };
  await start();
  let databases = 0;
  return {
    async newDatabase() {
      databases += 1;
      const name = `test${databases}`;
      const client = new pg.Client({ host: '127.0.0.1', port, user: 'test', database: 'postgres' });
      await client.connect();
      await client.query(`CREATE DATABASE ${name}`);
      await client.end();
      return `postgres://test@127.0.0.1:${port}/${name}`;
    },
    start,
    stop,
    async restart() {
      await stop();
      await start();
    },
    async end() {
      await stop();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
