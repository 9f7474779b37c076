import { startServer } from '../../server/serve';
import { testConfig } from './server-config';

/** A server among others in a process of its own, for tests that kill it: folder, database, Redis. Says its port. */
const [, , folder = '', databaseUrl = '', redisUrl = ''] = process.argv;
const server = await startServer({ config: { ...testConfig(folder), databaseUrl, redisUrl } });
process.stdout.write(`${server.port}\n`);
