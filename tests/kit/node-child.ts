import { startServer } from '../../server/serve';
import { testConfig } from './server-config';

/**
 * A server among others in a process of its own, for tests that kill it: folder, database, Redis, and the
 * address to listen at if it is not this machine's own. Says its port.
 */
const [, , folder = '', databaseUrl = '', redisUrl = '', host = '127.0.0.1'] = process.argv;
const config = { ...testConfig(folder), databaseUrl, redisUrl, host };
const server = await startServer({ config });
process.stdout.write(`${server.port}\n`);
