import type { ChildProcess } from 'node:child_process';
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { programPath } from '../run/engines.mjs';
import { freePort } from './port';

/** A Redis server of a test's own, which keeps nothing. */
export interface TestRedis {
  readonly url: string;
  start(): Promise<void>;
  /** Ends it as a crash would. */
  stop(): Promise<void>;
  restart(): Promise<void>;
  /** Ends it for good. */
  end(): Promise<void>;
}

export async function startRedis(): Promise<TestRedis> {
  const path = programPath('redis-server');
  if (path === undefined) throw new Error('redis-server is not installed');
  const folder = mkdtempSync(join(tmpdir(), 'passround-redis-'));
  const port = await freePort();
  let running: ChildProcess | undefined;
  const start = async () => {
    const args = ['--port', String(port), '--bind', '127.0.0.1', '--save', '', '--dir', folder];
    const child = spawn(path, args, { stdio: ['ignore', 'pipe', 'inherit'] });
    running = child;
    let said = '';
    while (!said.includes('Ready to accept connections')) {
      if (child.exitCode !== null) throw new Error(`Redis did not start: ${said}`);
      const [chunk] = await once(child.stdout, 'data');
      said += String(chunk);
    }
    child.stdout.resume();
  };
  const stop = async () => {
    const child = running;
    running = undefined;
    if (!child || child.exitCode !== null) return;
    const ended = once(child, 'exit');
    child.kill('SIGKILL');
    await ended;
  };
  await start();
  return {
    url: `redis://127.0.0.1:${port}`,
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
