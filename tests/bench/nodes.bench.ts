import { WebSocket } from 'ws';
import * as Y from 'yjs';
import type { BoardId } from '../../lib/units';
import { newBoardId } from '../../server/links';
import { PostgresStore } from '../../server/store/postgres';
import { demoDocuments } from '../../shared/board/demo';
import type { DocumentFamily } from '../../shared/board/documents';
import { saidBy } from '../../shared/board/roles';
import { writeName } from '../../shared/board/write';
import { syncFrame } from '../../shared/wire/frame';
import { SYNC } from '../../shared/wire/kind';
import { startEngines } from '../kit/engine-servers';
import { startPostgres } from '../kit/postgres';
import { linksOf } from './bench-links';
import { crowdDelays, openingMs, pause, quantile } from './crowd';
import { entriesOf, fullBoard } from './full-board';
import type { NodeProcess } from './node-process';
import { membersOf, startNodeProcess } from './node-process';
import type { Measure } from './run';

export const name = 'Nodes: fan-out, boards a node, opening on a cold node';

const ROUNDS = 4;
const WRITERS = 10;
const READERS = 10;
/** Boards on one node, with so many people each, of whom one writes every so often, ms. */
const CROWDS = [
  { count: 10, people: 3 },
  { count: 100, people: 3 },
  { count: 1000, people: 3 },
  { count: 100, people: 20 },
];
const EDIT_EVERY = 5000;
/** Boards that are written at once where the database is measured alone, and for how long. */
const WRITTEN = 100;
const WRITING = 4000;
const WATCHED = 12_000;
const COLD = 25;

async function keep(url: string, families: readonly DocumentFamily[]) {
  const store = await PostgresStore.open(url);
  const ids: BoardId[] = [];
  for (const family of families) {
    const id = newBoardId();
    await store.create({ id, createdMs: 0, links: linksOf(id) }, entriesOf(family));
    ids.push(id);
  }
  await store.close();
  return ids;
}

/** Small edits from ten writers to ten readers, on one node and from one node to another, in turn. */
async function fanOut(url: string, one: NodeProcess, two: NodeProcess) {
  const boards = await keep(
    url,
    Array.from({ length: 2 * ROUNDS }, () => demoDocuments()),
  );
  const within: number[] = [];
  const between: number[] = [];
  for (const [turn, board] of boards.entries()) {
    const members = membersOf(board, WRITERS + READERS);
    const isWithin = turn % 2 === 0;
    const ports = [one.port, isWithin ? one.port : two.port] as const;
    const load = { writers: WRITERS, editsASecond: 10, seconds: 3, filled: 0 };
    const { later } = await crowdDelays({ port: one.port, ports, board, members, ...load });
    (isWithin ? within : between).push(...later);
  }
  return [
    ['median', 0.5],
    ['95th percentile', 0.95],
  ].map(([words, part]) => ({
    what: `an edit to people on another node, ${words}`,
    value: quantile(between, Number(part)),
    unit: 'ms',
    against: { what: 'on the same node', value: quantile(within, Number(part)) },
  }));
}

/** @param localAddress one of this machine's own: a node takes only so many sockets from one address */
function opened(
  port: number,
  board: BoardId,
  cookie: string,
  localAddress = '127.0.0.1',
): Promise<WebSocket> {
  const options = { headers: { cookie }, localAddress };
  const socket = new WebSocket(`ws://127.0.0.1:${port}/sync/${board}`, options);
  return new Promise((done, failed) => {
    socket.once('open', () => done(socket));
    socket.once('error', failed);
  });
}

type Crowd = (typeof CROWDS)[number];

/** What a node takes with so many boards in use. */
async function crowded(url: string, redisUrl: string, { count, people }: Crowd) {
  const boards = await keep(
    url,
    Array.from({ length: count }, () => demoDocuments()),
  );
  const node = await startNodeProcess(url, redisUrl);
  const empty = await node.takesUp();
  const sockets: WebSocket[] = [];
  const writers: (() => void)[] = [];
  for (const [at, board] of boards.entries()) {
    const members = membersOf(board, people);
    const from = `127.0.0.${2 + (at % 200)}`;
    const lines = await Promise.all(
      members.map(({ cookie }) => opened(node.port, board, cookie, from)),
    );
    sockets.push(...lines);
    const [writer] = lines;
    const [me] = members;
    if (!writer || !me) throw new RangeError('nobody writes');
    const doc = new Y.Doc();
    doc.on('update', (update: Uint8Array) =>
      writer.send(syncFrame(saidBy(me.participant), SYNC.update, update).slice()),
    );
    let turn = 0;
    writers.push(() => {
      turn += 1;
      writeName(doc, `Ash ${turn}`);
    });
  }
  await pause(2000);
  // Each asks for the delays since the last time.
  const before = await node.takesUp();
  const end = performance.now() + WATCHED;
  for (let at = 0; performance.now() < end; at += 1) {
    writers[at % writers.length]?.();
    await pause(EDIT_EVERY / writers.length);
  }
  const after = await node.takesUp();
  for (const socket of sockets) socket.terminate();
  await node.stop();
  return {
    count,
    people,
    aBoardKb: (after.used - empty.used) / count / 1000,
    residentMb: after.rss / 1e6,
    delay: after.delayMs,
    cpuPercent: ((after.cpuMs - before.cpuMs) / WATCHED) * 100,
  };
}

async function growing(url: string, redisUrl: string): Promise<readonly Measure[]> {
  const found = [];
  for (const crowd of CROWDS) found.push(await crowded(url, redisUrl, crowd));
  const [few] = found;
  return found.flatMap(({ count, people, aBoardKb, residentMb, delay, cpuPercent }) => {
    const of = `${count} boards of ${people}`;
    const flat = (value: number | undefined) =>
      few && count > few.count && people === few.people && value !== undefined
        ? { against: { what: `${few.count} boards`, value } }
        : {};
    return [
      { what: `${of}: memory a board`, value: aBoardKb, unit: 'kB', ...flat(few?.aBoardKb) },
      { what: `${of}: memory of the process`, value: residentMb, unit: 'MB' },
      // Node looks every 10 ms, and that is in the figure.
      { what: `${of}: event-loop delay, median`, value: delay.median, unit: 'ms' },
      { what: `${of}: event-loop delay, 99th percentile`, value: delay.most, unit: 'ms' },
      { what: `${of}: one core`, value: cpuPercent, unit: '%' },
    ];
  });
}

/** A full board on a node that has not had it in memory, while it is in use on another. */
async function coldNode(url: string, one: NodeProcess, two: NodeProcess): Promise<Measure> {
  const family = fullBoard();
  const documents = family.names().length;
  const cold: number[] = [];
  const warm: number[] = [];
  for (const board of await keep(
    url,
    Array.from({ length: COLD }, () => family),
  )) {
    const [me, other, third] = membersOf(board, 3);
    if (!me || !other || !third) throw new RangeError('nobody');
    const there = await opened(one.port, board, me.cookie);
    await openingMs(one.port, board, other, documents);
    warm.push(await openingMs(one.port, board, third, documents));
    cold.push(await openingMs(two.port, board, third, documents));
    there.terminate();
    await pause(20);
  }
  return {
    what: 'open a full board on a node that does not have it, median',
    value: quantile(cold, 0.5),
    unit: 'ms',
    against: { what: 'on the node that has it', value: quantile(warm, 0.5) },
  };
}

/** Changes that PostgreSQL keeps a second, each waiting for its disk, from one node on many boards. */
async function writes(): Promise<Measure> {
  const server = await startPostgres({ waits: true });
  const url = await server.newDatabase();
  const boards = await keep(
    url,
    Array.from({ length: WRITTEN }, () => demoDocuments()),
  );
  const store = await PostgresStore.open(url);
  const doc = new Y.Doc();
  writeName(doc, 'Ash');
  const update = Y.encodeStateAsUpdate(doc);
  let kept = 0;
  const end = performance.now() + WRITING;
  const write = async (board: BoardId) => {
    let known = (await store.since(board, 0))?.version ?? 0;
    while (performance.now() < end) {
      const version = await store.appendNext(board, known, [{ document: 'lead', update }], []);
      known = version ?? known;
      kept += 1;
    }
  };
  await Promise.all(boards.map(write));
  await store.close();
  await server.end();
  return {
    what: `changes that PostgreSQL has on disk, from one node on ${WRITTEN} boards`,
    value: (kept * 1000) / WRITING,
    unit: 'a second',
  };
}

export async function run(): Promise<readonly Measure[]> {
  const engines = await startEngines();
  try {
    const url = await engines.postgres.newDatabase();
    const one = await startNodeProcess(url, engines.redis.url);
    const two = await startNodeProcess(url, engines.redis.url);
    const measures = [...(await fanOut(url, one, two)), await coldNode(url, one, two)];
    await one.stop();
    await two.stop();
    return [...measures, await writes(), ...(await growing(url, engines.redis.url))];
  } finally {
    await engines.end();
  }
}
