import next from 'next';
import { readConfig } from './config';
import { PlainFailure } from './failure';
import type { Pages, RunningServer } from './serve';
import { startServer } from './serve';

/** `tsx server/main.ts [--dev]`: the whole program in one process on one port. `--dev` lets Next compile pages as they change. */
async function main(): Promise<void> {
  const dev = process.argv.includes('--dev');
  const config = readConfig(process.env);
  const app = next({ dev, hostname: config.host, port: config.port });
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
    ...(dev
      ? {
          otherUpgrades: async (request, socket, head) => {
            await prepared();
            return app.getUpgradeHandler()(request, socket, head);
          },
        }
      : {}),
  });
  stopOnSignals(server);
  await prepared();
  process.stdout.write(`Passround is at ${server.address}\n`);
}

function stopOnSignals(server: RunningServer): void {
  let stopping = false;
  for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) {
    process.on(signal, () => {
      if (stopping) return;
      stopping = true;
      void server.stop().then(() => process.exit(0));
    });
  }
}

main().catch((error: unknown) => {
  if (!(error instanceof PlainFailure)) throw error;
  process.stderr.write(`${error.message}\n`);
  process.exit(1);
});
