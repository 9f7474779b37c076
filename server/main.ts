import { createServer } from 'node:http';
import next from 'next';
import { readConfig } from './config';
import { PlainFailure, reportOnStderr } from './failure';
import type { Pages, RunningServer } from './serve';
import { startServer } from './serve';

/** `tsx server/main.ts [--dev]`: the whole program in one process on one port. `--dev` lets Next compile pages as they change. */
async function main(): Promise<void> {
  const dev = process.argv.includes('--dev');
  const config = readConfig(process.env);
  // Next listens for upgrades on the server it is given. This one never listens, so that who gets an upgrade is decided in one place.
  const upgrades = createServer();
  const app = next({ dev, hostname: config.host, port: config.port, httpServer: upgrades });
  let preparing: Promise<void> | undefined;
  const prepared = () => {
    preparing ??= app.prepare();
    return preparing;
  };
  const pages: Pages = async (request, response) => {
    await prepared();
    return app.getRequestHandler()(request, response);
  };
  const server = await startServer({
    config,
    pages,
    dev,
    readsAtOnce: true,
    ...(dev
      ? {
          otherUpgrades: (request, socket, head) => upgrades.emit('upgrade', request, socket, head),
        }
      : {}),
  });
  stopOnSignals(server);
  await prepared();
  process.stdout.write(`Passround is at ${server.address}\n`);
}

/** The first signal stops in order; a second one, from somebody who does not want to wait, at once. */
function stopOnSignals(server: RunningServer): void {
  let stopping = false;
  for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) {
    process.on(signal, () => {
      if (stopping) process.exit(1);
      stopping = true;
      server.stop().then(
        () => process.exit(0),
        (error: unknown) => {
          reportOnStderr('Passround could not stop in order.', error);
          process.exit(1);
        },
      );
    });
  }
}

main().catch((error: unknown) => {
  if (!(error instanceof PlainFailure)) throw error;
  process.stderr.write(`${error.message}\n`);
  process.exit(1);
});
