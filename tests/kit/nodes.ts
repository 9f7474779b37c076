import type { SharedOptions } from '../../server/engines';
import type { Peer } from './peers';
import type { TestPostgres } from './postgres';
import { startPostgres } from './postgres';
import { eventually, sameFamilies } from './provider';
import type { TestRedis } from './redis';
import { startRedis } from './redis';
import type { TestServer } from './server';
import { startTestServer, testFolder } from './server';
import { testConfig } from './server-config';

/** The engines that several servers stand on. */
export interface Engines {
  readonly postgres: TestPostgres;
  readonly redis: TestRedis;
  end(): Promise<void>;
}

export async function startEngines(): Promise<Engines> {
  const [postgres, redis] = await Promise.all([startPostgres(), startRedis()]);
  return {
    postgres,
    redis,
    end: async () => {
      await Promise.all([postgres.end(), redis.end()]);
    },
  };
}

/** One server among others, in this process; stopped after the test. */
export function startNode(
  databaseUrl: string,
  redisUrl: string | undefined,
  shared: SharedOptions = {},
): Promise<TestServer> {
  const config = {
    ...testConfig(testFolder()),
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
