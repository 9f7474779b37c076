import { spawnSync } from 'node:child_process';
import { createServer } from 'node:net';
import { describe, expect, test } from 'vitest';
import { ENGINES, programPath } from '../run/engines.mjs';

/** Are PostgreSQL and Redis here, so that tests can start servers of their own? */
const hasEngines = ENGINES.every((name) => programPath(name) !== undefined);

/**
 * Tests that need PostgreSQL and Redis. Where those are not installed they are skipped and say so; where the run has said that they must
 * be there (PASSROUND_ENGINES=required, as tests/run sets it after it installed them), that is a failure.
 */
export function withEngines(body: () => void): void {
  if (process.env.PASSROUND_ENGINES === 'required')
    test('PostgreSQL and Redis are installed where these tests must run', () =>
      expect(hasEngines).toBe(true));
  if (hasEngines) describe('with real servers', body);
  else test.skip('nothing of this could run, because PostgreSQL and Redis are not installed here');
}

/** The account to run a database as: PostgreSQL does not run as root. Undefined: our own. */
export function databaseAccount(): { readonly uid: number; readonly gid: number } | undefined {
  if (process.getuid?.() !== 0) return undefined;
  const id = (flag: string) => Number(spawnSync('id', [flag, 'postgres']).stdout.toString().trim());
  return { uid: id('-u'), gid: id('-g') };
}

/** A port that nobody has now. */
export function freePort(): Promise<number> {
  return new Promise((done, failed) => {
    const server = createServer();
    server.once('error', failed);
    server.listen(0, '127.0.0.1', () => {
      const address = server.address();
      const port = typeof address === 'object' && address ? address.port : 0;
      server.close(() => done(port));
    });
  });
}
