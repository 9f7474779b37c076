import { startServer } from '../../server/serve';
import { testConfig } from './server-config';

/** A server without pages in a process of its own, for tests that kill it. Says its port; ends only by a signal. */
const server = await startServer({ config: testConfig(process.argv[2] ?? '') });
process.stdout.write(`${server.port}\n`);
