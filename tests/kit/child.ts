import type { ChildProcess } from 'node:child_process';
import { execFileSync, spawn } from 'node:child_process';
import { once } from 'node:events';
import { fileURLToPath } from 'node:url';
import { onTestFinished } from 'vitest';

const SERVER = fileURLToPath(new URL('server-child.ts', import.meta.url));

export interface Child {
  readonly child: ChildProcess;
  readonly port: number;
}

export interface ChildOptions {
  /** Largest file that it may write, bytes, until `liftLimit`: what a full disk is to it. Linux only. */
  readonly largestFile?: number;
}

/** A server without pages in a process of its own, killed after the test. */
export async function startChild(folder: string, options: ChildOptions = {}): Promise<Child> {
  const node = [process.execPath, '--import', 'tsx', SERVER, folder];
  const { largestFile } = options;
  const [command = '', ...args] =
    largestFile === undefined ? node : ['prlimit', `--fsize=${largestFile}:unlimited`, ...node];
  const child = spawn(command, args, { stdio: ['ignore', 'pipe', 'pipe'] });
  onTestFinished(() => {
    child.kill('SIGKILL');
  });
  const [line] = await once(child.stdout ?? child, 'data');
  return { child, port: Number(String(line).trim()) };
}

/** The disk has room again. */
export function liftLimit({ child }: Child): void {
  execFileSync('prlimit', ['--pid', `${child.pid}`, '--fsize=unlimited']);
}
