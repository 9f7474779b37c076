import type { ChildProcess } from 'node:child_process';
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { createRequire } from 'node:module';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import * as Y from 'yjs';
import type { BoardId } from '../../lib/units';
import { newBoardId, newParticipantId, sessionCookie } from '../../server/links';
import { LiveDocuments } from '../../server/rooms/documents';
import { SqliteStore } from '../../server/store/sqlite';
import { demoDocuments } from '../../shared/board/demo';
import type { DocumentFamily } from '../../shared/board/documents';
import type { Role } from '../../shared/board/roles';
import { saidBy } from '../../shared/board/roles';
import { writeName, writePerson } from '../../shared/board/write';
import { collectGarbage } from '../kit/collect';
import { testConfig } from '../kit/server-config';
import { linksOf, markOf } from './bench-links';
import type { Member } from './crowd';
import { crowdDelays, openingMs, pause, quantile } from './crowd';
import { entriesOf, fullBoard } from './full-board';
import type { Measure } from './run';

export const name = 'Rooms: edits, openings, memory';

const here = (file: string) => fileURLToPath(new URL(file, import.meta.url));
const CROWDS = (process.env.PASSROUND_BENCH_PEOPLE ?? '20,50,100').split(',').map(Number);
const FILLED = [0, 300_000];
/** Many short rounds: a machine's speed drifts, and so what is held against each other is measured close together. */
const ROUNDS = Number(process.env.PASSROUND_BENCH_ROUNDS ?? 8);
const SECONDS = 1;
/**
 * What each server does before it is measured: sizes of the documents, in turn, and edits of a writer a second. Some thousands of edits, of
 * all that is measured later: what has never met a large message is compiled anew when the first one comes, and slow until then.
 */
const WARM_FILLED = [0, 300_000, 0, 300_000];
const WARM_SECONDS = 3;
const WARM_EDITS = 60;

interface Running {
  readonly port: number;
  readonly stop: () => Promise<void>;
}

async function launch(script: string, ...args: readonly string[]): Promise<Running> {
  const child: ChildProcess = spawn(process.execPath, ['--import', 'tsx', script, ...args], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  const [line] = await once(child.stdout ?? child, 'data');
  const ended = once(child, 'exit');
  const stop = async () => {
    child.kill('SIGTERM');
    await ended;
  };
  return { port: Number(String(line).trim()), stop };
}

/** The reference Yjs server with LevelDB, as it comes with y-websocket 2: it forwards before it writes. */
async function launchReference(folder: string): Promise<Running> {
  const port = await freePort();
  const script = createRequire(import.meta.url).resolve('y-websocket-reference/bin/utils');
  const child = spawn(process.execPath, [join(dirname(script), 'server.cjs')], {
    env: {
      ...process.env,
      HOST: '127.0.0.1',
      PORT: `${port}`,
      YPERSISTENCE: join(folder, 'level'),
    },
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  let said = '';
  while (!said.includes('running at')) said += String((await once(child.stdout, 'data'))[0]);
  const ended = once(child, 'exit');
  const stop = async () => {
    child.kill('SIGTERM');
    await ended;
  };
  return { port, stop };
}

async function freePort(): Promise<number> {
  const probe = createServer().listen(0, '127.0.0.1');
  await once(probe, 'listening');
  const address = probe.address();
  probe.close();
  await once(probe, 'close');
  return typeof address === 'object' && address ? address.port : fail();
}

function membersOf(
  folder: string,
  board: BoardId,
  count: number,
  role: Role = 'join',
): readonly Member[] {
  const { secret } = testConfig(folder);
  return Array.from({ length: count }, () => {
    const participant = newParticipantId();
    const mark = markOf(board, role);
    const cookie = sessionCookie(secret, board, { participant, role, mark }, false);
    return { participant, cookie: cookie.split(';')[0] ?? '' };
  });
}

/** Puts boards into a folder's store before a server runs on it. */
async function keep(
  folder: string,
  families: readonly DocumentFamily[],
): Promise<readonly BoardId[]> {
  const store = new SqliteStore(folder);
  const ids: BoardId[] = [];
  for (const family of families) {
    const id = newBoardId();
    await store.create({ id, createdMs: 0, links: linksOf(id) }, entriesOf(family));
    ids.push(id);
  }
  await store.close();
  return ids;
}

/**
 * Edits of ten writers, ten a second each: from sending to each of the others. Alternates between the servers. The first edit of each
 * writer on a board is told apart.
 * @param documents "own": each writer a document, as students write; "one": all of them the leaders' one, which the reference server, that
 * knows one document a board, can be given too
 */
async function edits(folder: string, documents: 'own' | 'one'): Promise<readonly Measure[]> {
  const measures: Measure[] = [];
  const boards = WARM_FILLED.length + CROWDS.length * FILLED.length * ROUNDS;
  const ids = await keep(
    folder,
    Array.from({ length: boards }, () => demoDocuments()),
  );
  // One folder is one server's.
  const bare = join(folder, 'bare');
  mkdirSync(bare);
  const servers: Readonly<Record<string, Running>> = {
    relay: await launch(here('bare-server.ts'), 'relay', folder),
    'bare synced': await launch(here('bare-server.ts'), 'synced', folder),
    'bare on our store': await launch(here('bare-server.ts'), 'stored', bare),
    ...(documents === 'one' ? { reference: await launchReference(folder) } : {}),
    ours: await launch(here('../kit/server-child.ts'), folder),
  };
  const kinds = Object.keys(servers);
  const load = { writers: 10, editsASecond: 10, documents };
  const role = documents === 'one' ? 'lead' : 'join';
  // Servers run for days: what their first seconds cost, while Node compiles what is used, is not counted.
  let next = 0;
  for (const filled of WARM_FILLED) {
    const board = ids[next] ?? fail();
    next += 1;
    for (const kind of kinds)
      await crowdDelays({
        ...load,
        port: servers[kind]?.port ?? fail(),
        board,
        members: membersOf(folder, board, 20, role),
        filled,
        editsASecond: WARM_EDITS,
        seconds: WARM_SECONDS,
        ...mannersOf(kind),
      });
  }
  for (const people of CROWDS)
    for (const filled of FILLED) {
      const first = new Map(kinds.map((kind) => [kind, [] as number[]]));
      const later = new Map(kinds.map((kind) => [kind, [] as number[]]));
      for (let round = 0; round < ROUNDS; round += 1) {
        const board = ids[next] ?? newBoardId();
        next += 1;
        const members = membersOf(folder, board, people, role);
        for (const kind of round % 2 === 0 ? kinds : kinds.toReversed()) {
          const port = servers[kind]?.port ?? fail();
          const seconds = SECONDS;
          const found = await crowdDelays({
            ...load,
            port,
            board,
            members,
            filled,
            seconds,
            ...mannersOf(kind),
          });
          first.get(kind)?.push(...found.first);
          later.get(kind)?.push(...found.later);
        }
      }
      const where = `${people} people, ${documents}, ${filled / 1000} kB`;
      measures.push(
        ...editMeasures(later, 'edit', where),
        ...editMeasures(first, 'first edit', where),
      );
    }
  for (const server of Object.values(servers)) await server.stop();
  return measures;
}

function mannersOf(kind: string) {
  return { echoes: kind === 'reference', isSilent: kind.startsWith('bare') || kind === 'relay' };
}

function editMeasures(
  delays: ReadonlyMap<string, readonly number[]>,
  edit: string,
  where: string,
): readonly Measure[] {
  const pairs = [
    ['relay', 'bare synced'],
    // What waiting for the disk costs by itself.
    ['bare synced', 'reference'],
    ['ours', 'bare synced'],
    ['ours', 'bare on our store'],
    ['ours', 'reference'],
  ] as const;
  const parts = [
    ['median', 0.5],
    ['95th percentile', 0.95],
  ] as const;
  return parts.flatMap(([words, part]) =>
    pairs.flatMap(([kind, against]): Measure[] => {
      const [mine, theirs] = [delays.get(kind), delays.get(against)];
      if (!mine || !theirs) return [];
      return [
        {
          what: `${kind}: ${edit} to the others, ${where}, ${words}`,
          value: quantile(mine, part),
          unit: 'ms',
          against: { what: against, value: quantile(theirs, part) },
        },
      ];
    }),
  );
}

/** Opening a full board: cold (nobody there), warm (somebody there), and by a hundred people at once. */
async function openings(folder: string): Promise<readonly Measure[]> {
  const colds = 30;
  const family = fullBoard();
  const ids = await keep(
    folder,
    Array.from({ length: colds + 1 }, () => family),
  );
  const documents = family.names().length;
  const { port, stop } = await launch(here('../kit/server-child.ts'), folder);
  const memberOf = (board: BoardId) => membersOf(folder, board, 1)[0] ?? fail();
  const cold: number[] = [];
  for (const board of ids.slice(1)) {
    cold.push(await openingMs(port, board, memberOf(board), documents));
    await pause(20);
  }
  const [board = fail()] = ids;
  // One who comes again and again: so many newcomers from one address are not let in.
  const me = memberOf(board);
  await openingMs(port, board, me, documents);
  const warm: number[] = [];
  for (let turn = 0; turn < 60; turn += 1) {
    warm.push(await openingMs(port, board, me, documents));
    await pause(10);
  }
  const crowd = membersOf(folder, board, 100);
  const together = await Promise.all(crowd.map((me) => openingMs(port, board, me, documents)));
  await stop();
  return [
    {
      what: 'open a full board, warm, median',
      value: quantile(warm, 0.5),
      unit: 'ms',
      against: { what: 'limit', value: 20 },
    },
    {
      what: 'open a full board, cold, median',
      value: quantile(cold, 0.5),
      unit: 'ms',
      against: { what: 'limit', value: 50 },
    },
    {
      what: 'open a full board, a hundred at once, 95th percentile',
      value: quantile(together, 0.95),
      unit: 'ms',
      against: { what: 'limit', value: 400 },
    },
  ];
}

function fail(): never {
  throw new RangeError('nothing is there');
}

/** Admission of a small update: decode, judge, try on the copy, apply. */
function admission(): Measure {
  const family = demoDocuments();
  const me = newParticipantId();
  writePerson(family.house, me, 'join');
  const documents = new LiveDocuments(entriesOf(family));
  const doc = new Y.Doc();
  const updates: Uint8Array[] = [];
  doc.on('update', (update: Uint8Array) => updates.push(update));
  for (let turn = 0; turn < 5000; turn += 1) writeName(doc, `Ash ${turn % 100}`);
  const times: number[] = [];
  for (const update of updates) {
    const from = performance.now();
    const writer = { participant: me, role: 'join' } as const;
    const fault = documents.edit(saidBy(me), update, writer, () => undefined);
    times.push(performance.now() - from);
    if (fault) throw new Error(`refused as ${fault}`);
  }
  // The middle one, since on a busy machine now and then one waits for other programs.
  const value = quantile(times.slice(500), 0.5);
  return {
    what: 'admit a small update, median',
    value,
    unit: 'ms',
    against: { what: 'limit', value: 0.05 },
  };
}

/** What a board in use takes in memory, its trial copies included. */
function roomMemory(): Measure {
  const used = () => {
    collectGarbage();
    const { heapUsed, arrayBuffers } = process.memoryUsage();
    return heapUsed + arrayBuffers;
  };
  const entries = entriesOf(demoDocuments());
  const edit = (documents: LiveDocuments) => {
    const me = newParticipantId();
    const doc = new Y.Doc();
    writeName(doc, 'Ash');
    const update = Y.encodeStateAsUpdate(doc);
    documents.remember({ participant: me, role: 'join' });
    const writer = { participant: me, role: 'join' } as const;
    documents.edit(saidBy(me), update, writer, () => undefined);
    return documents;
  };
  edit(new LiveDocuments(entries));
  const before = used();
  const rooms = Array.from({ length: 200 }, () => edit(new LiveDocuments(entries)));
  const value = (used() - before) / rooms.length / 1000;
  return { what: 'a room in use', value, unit: 'kB', against: { what: 'limit', value: 150 } };
}

export async function run(): Promise<readonly Measure[]> {
  const folder = mkdtempSync(join(tmpdir(), 'passround-bench-'));
  const other = mkdtempSync(join(tmpdir(), 'passround-bench-'));
  const another = mkdtempSync(join(tmpdir(), 'passround-bench-'));
  try {
    // Any of admission, openings, edits (or own, one).
    const wanted = process.env.PASSROUND_BENCH_PARTS?.split(',');
    const has = (part: string) => wanted?.includes(part) ?? true;
    return [
      ...(has('admission') ? [admission(), roomMemory()] : []),
      ...(has('openings') ? await openings(other) : []),
      ...(has('edits') || has('own') ? await edits(folder, 'own') : []),
      ...(has('edits') || has('one') ? await edits(another, 'one') : []),
    ];
  } finally {
    for (const each of [folder, other, another]) rmSync(each, { recursive: true, force: true });
  }
}
