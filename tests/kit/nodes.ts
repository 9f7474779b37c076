import type { SharedOptions } from '../../server/engines';
import type { Peer } from './peers';
import { eventually, sameFamilies } from './provider';
import type { TestServer } from './server';
import { startTestServer, testFolder } from './server';
import { testConfig } from './server-config';

/** What the operator of such servers shows. */
export const OPERATOR_TOKEN = 'a token of the operator of nodes';

/** One server among others, in this process; stopped after the test. */
export function startNode(
  databaseUrl: string,
  redisUrl: string | undefined,
  shared: SharedOptions = {},
): Promise<TestServer> {
  const config = {
    ...testConfig(testFolder()),
    backupToken: OPERATOR_TOKEN,
    databaseUrl,
    ...(redisUrl === undefined ? {} : { redisUrl }),
  };
  return startTestServer({ config, shared: { roundMs: 100, silenceMs: 1000, ...shared } });
}

/** Do all of them see the same documents, down to what was deleted? */
function agree(peers: readonly Peer[]): boolean {
  const [first, ...others] = peers;
  return first !== undefined && others.every((other) => sameFamilies(first.family, other.family));
}

/** Waits until they do. @throws Error if they never do */
export async function untilAgreed(peers: readonly Peer[]): Promise<void> {
  await eventually(() => agree(peers), 'all see the same');
}
