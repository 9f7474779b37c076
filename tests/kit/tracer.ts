import { execFileSync, spawn } from 'node:child_process';
import { once } from 'node:events';
import { onTestFinished } from 'vitest';
import type { Child } from './child';

/** Is there a `strace` here that may look into a process of ours? */
export const CAN_TRACE = (() => {
  try {
    execFileSync('strace', ['-o', '/dev/null', 'true'], { stdio: 'ignore' });
    return true;
  } catch (error) {
    if (error instanceof Error) return false;
    throw error;
  }
})();

/** Attaches `strace` to a running server. @returns what lets go of it, and waits until it has */
export async function trace(
  { child }: Child,
  ...args: readonly string[]
): Promise<() => Promise<void>> {
  const tracer = spawn('strace', ['-f', ...args, '-p', `${child.pid}`], {
    stdio: ['ignore', 'ignore', 'pipe'],
  });
  onTestFinished(() => {
    tracer.kill('SIGKILL');
  });
  await once(tracer.stderr, 'data');
  return async () => {
    tracer.kill('SIGINT');
    await once(tracer, 'exit');
  };
}
