import type { IncomingMessage, Server, ServerResponse } from 'node:http';
import { createServer } from 'node:http';
import type { Duplex } from 'node:stream';
import type { Ms } from '../lib/units';
import { ADDRESS_HEADER, HOST_KEY } from '../shared/host-key';
import { BackupDesk } from './backup';
import { BoardDesk } from './board-desk';
import type { Config } from './config';
import { Door } from './door';
import type { GivenEngines } from './engines';
import { openEngines } from './engines';
import type { Report } from './failure';
import { errorCode, PlainFailure, reportAsJson, reportOnStderr } from './failure';
import { guard } from './guard';
import type { Host } from './host';
import { IdleBoards } from './idle';
import type { Imports } from './imports/desk';
import { ImportDesk } from './imports/desk';
import {
  MAX_HEADER,
  MAX_LEADING_BEYOND,
  MAX_SOCKETS_A_BOARD,
  MAX_SOCKETS_A_PERSON,
  MAX_SOCKETS_AN_ADDRESS,
  MAX_SOCKETS_AN_ADDRESS_A_BOARD,
  NEWCOMERS_AN_HOUR,
  PING_EVERY,
  ROOM_LINGER,
} from './limits';
import { Metrics } from './metrics';
import { addressOf, pathForLog } from './origin';
import { PrintDesk } from './print';
import { Rooms } from './rooms/rooms';
import type { MostSockets } from './sockets';
import { declineUpgrade, Sockets } from './sockets';
import { isSystemError } from './store/journal';
import type { Store } from './store/store';

const MOST_SOCKETS: MostSockets = {
  aBoard: MAX_SOCKETS_A_BOARD,
  anAddress: MAX_SOCKETS_AN_ADDRESS,
  anAddressOnABoard: MAX_SOCKETS_AN_ADDRESS_A_BOARD,
  leadersBeyond: MAX_LEADING_BEYOND,
  aPerson: MAX_SOCKETS_A_PERSON,
  newcomersAnHour: NEWCOMERS_AN_HOUR,
};

/** What answers page requests: Next, or a test's own. */
export type Pages = (request: IncomingMessage, response: ServerResponse) => unknown;

export interface ServerOptions extends GivenEngines {
  readonly config: Config;
  /** Absent: every page is 404. */
  readonly pages?: Pages;
  /** Next compiles pages as they change. */
  readonly dev?: boolean;
  /** Takes upgrades that are not for boards; absent: they are refused. */
  readonly otherUpgrades?: (request: IncomingMessage, socket: Duplex, head: Buffer) => unknown;
  readonly lingerMs?: Ms;
  readonly pingEveryMs?: Ms;
  readonly most?: Partial<MostSockets>;
  /** Reads what boards are made of, and stops with the server; absent: processes of its own, started when they are asked for. */
  readonly imports?: Imports;
  /** Whether what reads them is started with the server, and not with the first of them. */
  readonly readsAtOnce?: boolean;
  readonly report?: Report;
}

export interface RunningServer {
  readonly host: Host;
  readonly port: number;
  /** "http://127.0.0.1:3000" */
  readonly address: string;
  /** Closes every socket with 1012, writes all that is waiting, and lets go of port and store. */
  stop(): Promise<void>;
}

/** One sentence for an address where nobody can listen. */
function listenSentence(code: string, { host, port }: Config): string {
  if (code === 'EADDRINUSE')
    return `Port ${port} on ${host} is taken by another program; stop that one, or set PORT to another number.`;
  if (code === 'EACCES')
    return `This account may not listen on port ${port}; set PORT to a number above 1023.`;
  if (code === 'EADDRNOTAVAIL' || code === 'ENOTFOUND')
    return `HOST is "${host}", which is no address of this machine; leave it out, or set it to 0.0.0.0 to be reachable from others.`;
  return `The server cannot listen on port ${port} of ${host} (${code}).`;
}

function listen(server: Server, config: Config): Promise<number> {
  return new Promise((done, failed) => {
    server.once('error', (error) =>
      failed(new PlainFailure(listenSentence(errorCode(error), config), { cause: error })),
    );
    server.listen(config.port, config.host, () => {
      const address = server.address();
      done(typeof address === 'object' && address ? address.port : config.port);
    });
  });
}

/** Does this address mean every one that the machine has? */
function isEverywhere(host: string): boolean {
  return host === '0.0.0.0' || host === '::';
}

const notFound: Pages = (_request, response) => {
  response.writeHead(404).end();
};

/** Answers requests: with our headers, or not at all to what another site wants changed. */
function listener({ config, pages = notFound, dev = false }: ServerOptions, report: Report) {
  const { publicUrl, proxies } = config;
  return async (request: IncomingMessage, response: ServerResponse) => {
    try {
      request.headers[ADDRESS_HEADER] = addressOf(request, proxies);
      if (guard(request, response, { publicUrl, dev })) await pages(request, response);
    } catch (error) {
      report(`The page ${pathForLog(request.url)} could not be shown.`, error);
      if (!response.headersSent) response.writeHead(500);
      response.end();
    }
  };
}

/** Answers requests by pages, and upgrades by rooms. */
function answering(options: ServerOptions, report: Report, sockets: Sockets): Server {
  const { otherUpgrades } = options;
  const server = createServer({ maxHeaderSize: MAX_HEADER }, listener(options, report));
  server.on('upgrade', (request, socket, head) => {
    if (sockets.isOurs(request)) void sockets.admit(request, socket, head);
    else if (otherUpgrades) void otherUpgrades(request, socket, head);
    else declineUpgrade(socket);
  });
  return server;
}

/** Where the server is reached from this machine, and as it is told to people. */
function addressesOf(host: string, port: number) {
  const name = host.includes(':') ? `[${host}]` : host;
  const shown = `http://${name}:${port}`;
  return { shown, here: isEverywhere(host) ? `http://127.0.0.1:${port}` : shown };
}

/** Hands out copies, and has removed what a killed server left of one. A disk that cannot be written does not keep a server from starting. */
async function backupDesk(store: Store, config: Config, report: Report): Promise<BackupDesk> {
  const desk = new BackupDesk(store, config.dataDir, config.backupToken);
  try {
    await desk.removeLeftOver();
  } catch (error) {
    if (!isSystemError(error)) throw error;
    report('A copy that a killed server left over could not be removed.', error);
  }
  return desk;
}

interface Open {
  readonly imports: Imports;
  readonly sockets: Sockets;
  readonly rooms: Rooms;
  readonly letGo: () => Promise<void>;
}

/** Lets nobody in any more, and then ends everything in order. */
async function close(server: Server, { imports, sockets, rooms, letGo }: Open): Promise<void> {
  const closed = new Promise((done) => server.close(done));
  // First, so that whoever waits for a reading is answered while the sockets close.
  await imports.stop();
  await sockets.stop();
  await rooms.closeAll();
  server.closeAllConnections();
  await closed;
  await letGo();
}

/**
 * Opens the store, the rooms and the port; pages find the host on `globalThis` from then on.
 * @throws PlainFailure if the port or the data folder cannot be used
 */
export async function startServer(options: ServerOptions): Promise<RunningServer> {
  const { config, pingEveryMs = PING_EVERY } = options;
  const { publicUrl, proxies, idleDays } = config;
  const report = options.report ?? (config.jsonLog ? reportAsJson : reportOnStderr);
  const engines = await openEngines(config, report, options);
  const { store, now, codes } = engines;
  const metrics = new Metrics();
  const rooms: Rooms = new Rooms(
    {
      ...engines.rooms,
      report,
      metrics,
      renewLink: (board, role) => door.renewLink(board, role),
      giveCode: (board, who) => codes.give(board, who),
      forgetCodes: (board, participant) => codes.forget(board, participant),
      noteUse: (board) => idle.note(board),
    },
    options.lingerMs ?? ROOM_LINGER,
  );
  const prints = new PrintDesk();
  const imports = options.imports ?? new ImportDesk(report);
  const backups = await backupDesk(store, config, report);
  const token = config.backupToken;
  const count = await store.countBoards();
  const boards = new BoardDesk({ store, rooms, imports, now, report, token, count });
  const door: Door = new Door({
    store,
    rooms,
    now,
    codes,
    secret: engines.secret,
    secure: publicUrl?.protocol === 'https:',
    publicUrl,
    countSockets: () => sockets.count,
    boards,
    ...(engines.others ? { others: engines.others } : {}),
    metrics,
    backups,
    prints,
    idleDays,
    report,
  });
  const world = { store, now, report, open: () => rooms.boards, idleDays };
  const idle = new IdleBoards(world, (deleted) => boards.noteDeleted(deleted));
  const callerOf: Door['callerOf'] = (board, cookie, key) => door.callerOf(board, cookie, key);
  const most = { ...MOST_SOCKETS, ...options.most };
  const outside = { pingEveryMs, most, publicUrl, proxies, callerOf };
  const sockets: Sockets = new Sockets({ rooms, now, report, ...outside });
  (globalThis as { [HOST_KEY]?: Host })[HOST_KEY] = door;
  const server = answering(options, report, sockets);
  const letGo = async () => {
    metrics.stop();
    await idle.stop();
    await engines.close();
  };
  const port = await listen(server, config).catch(async (error) => {
    await sockets.stop();
    await letGo();
    throw error;
  });
  const stop = () => close(server, { imports, sockets, rooms, letGo });
  const { here, shown } = addressesOf(config.host, port);
  prints.openAt(here);
  if (options.readsAtOnce) imports.warm();
  return { host: door, port, address: shown, stop };
}
