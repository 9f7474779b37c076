import type { TestPostgres } from './postgres';
import { startPostgres } from './postgres';
import type { TestRedis } from './redis';
import { startRedis } from './redis';

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
