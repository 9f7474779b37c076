import { startServer } from '../../server/serve';
import { testConfig } from './server-config';

/**
 * A server among others in a process of its own, for tests that kill it: folder, database, Redis, and the
 * address to listen at if it is not this machine's own. Says its port, and tells what it takes up to a parent that asks.
 */
const [, , folder = '', databaseUrl = '', redisUrl = '', host = '127.0.0.1'] = process.argv;
const config = { ...testConfig(folder), databaseUrl, redisUrl, host };
const server = await startServer({ config });
process.stdout.write(`${server.port}\n`);

/** What a server takes up, after its garbage was collected if it may be (`--expose-gc`). */
function takesUp() {
  (globalThis as { gc?: () => void }).gc?.();
  const { rss, heapUsed, arrayBuffers } = process.memoryUsage();
  const { user, system } = process.cpuUsage();
  return {
    metrics: server.host.metrics(),
    rss,
    used: heapUsed + arrayBuffers,
    cpuMs: (user + system) / 1000,
  };
}
process.on('message', () => process.send?.(takesUp()));
// Its parent is gone.
process.on('disconnect', () => process.exit());
