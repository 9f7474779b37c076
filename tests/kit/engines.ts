import { describe, expect, test } from 'vitest';
import { hasEngines } from '../run/engines.mjs';

/**
 * Tests that need PostgreSQL and Redis. Where those are not installed they are skipped and say so; where the run has said that they must
 * be there (PASSROUND_ENGINES=required, as tests/run sets it after it installed them), that is a failure.
 */
export function withEngines(body: () => void): void {
  if (process.env.PASSROUND_ENGINES === 'required')
    test('PostgreSQL and Redis are installed where these tests must run', () =>
      expect(hasEngines()).toBe(true));
  if (hasEngines()) describe('with real servers', body);
  else test.skip('nothing of this could run, because PostgreSQL and Redis are not installed here');
}
