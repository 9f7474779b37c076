import type { ChildProcess } from 'node:child_process';
import { execFileSync, spawn } from 'node:child_process';
import { once } from 'node:events';
import { fileURLToPath } from 'node:url';
import * as v from 'valibot';
import { onTestFinished } from 'vitest';

const SERVER = fileURLToPath(new URL('server-child.ts', import.meta.url));

export interface Child {
  readonly child: ChildProcess;
  readonly port: number;
}

export interface ChildOptions {
  /** Largest file that it may write, bytes, until `liftLimit`: what a full disk is to it. Linux only. */
  readonly largestFile?: number;
  /** How long a room stays after its last one has left, ms; absent: as on a real server. */
  readonly lingerMs?: number;
}

/** What a server takes, after it was asked to let go of what it does not need. */
export interface Taken {
  readonly rooms: number;
  readonly sockets: number;
  /** Its resident size, bytes. */
  readonly resident: number;
}

const taken = v.object({ rooms: v.number(), sockets: v.number(), resident: v.number() });

/** A server without pages in a process of its own, killed after the test. */
export async function startChild(folder: string, options: ChildOptions = {}): Promise<Child> {
  const { largestFile, lingerMs } = options;
  const node = [process.execPath, '--import', 'tsx', SERVER, folder];
  if (lingerMs !== undefined) node.push(`${lingerMs}`);
  const [command = '', ...args] =
    largestFile === undefined ? node : ['prlimit', `--fsize=${largestFile}:unlimited`, ...node];
  const child = spawn(command, args, { stdio: ['ignore', 'pipe', 'pipe'] });
  onTestFinished(() => {
    child.kill('SIGKILL');
  });
  const [line] = await once(child.stdout ?? child, 'data');
  return { child, port: Number(String(line).trim()) };
}

/** Asks a server what it takes. Not on Windows, which has no such signal. */
export async function takenBy({ child }: Child): Promise<Taken> {
  const answer = once(child.stdout ?? child, 'data');
  child.kill('SIGUSR2');
  const [line] = await answer;
  return v.parse(taken, JSON.parse(String(line)));
}

/** The disk has room again. */
export function liftLimit({ child }: Child): void {
  execFileSync('prlimit', ['--pid', `${child.pid}`, '--fsize=unlimited']);
}
