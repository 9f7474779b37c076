import { startServer } from '../../server/serve';
import { collectGarbage } from './collect';
import { testConfig } from './server-config';

/** A server without pages in a process of its own, for tests that kill it. Says its port; ends only by a signal. */
const [, , folder = '', lingerMs] = process.argv;
const server = await startServer({
  config: testConfig(folder),
  ...(lingerMs === undefined ? {} : { lingerMs: Number(lingerMs) }),
});
process.stdout.write(`${server.port}\n`);

/** Asked by this signal, it collects what nobody holds any more and says what it takes: a line of JSON (`Taken` in child.ts). */
process.on('SIGUSR2', () => {
  collectGarbage();
  const { rooms, sockets } = server.host.health();
  process.stdout.write(
    `${JSON.stringify({ rooms, sockets, resident: process.memoryUsage.rss() })}\n`,
  );
});
