import { WebSocket } from 'ws';
import * as Y from 'yjs';
import type { BoardId, ParticipantId } from '../../lib/units';
import type { DocumentName } from '../../shared/board/roles';
import { LEAD_DOCUMENT, saidBy } from '../../shared/board/roles';
import { readFrame, syncFrame } from '../../shared/wire/frame';
import { SYNC } from '../../shared/wire/kind';
import { collectGarbage } from '../kit/collect';

export interface Member {
  readonly participant: ParticipantId;
  readonly cookie: string;
}

export interface CrowdOptions {
  /** Does this server send an edit back to its author, too? Absent: no. */
  readonly echoes?: boolean;
  /** Does this server say nothing to a newcomer? Absent: it does, and from then on passes on to them what others write. */
  readonly isSilent?: boolean;
  readonly port: number;
  /** Servers that the members take in turn, the writers the first; absent: all go to `port`. */
  readonly ports?: readonly [number, number];
  readonly board: BoardId;
  readonly members: readonly Member[];
  readonly writers: number;
  readonly editsASecond: number;
  readonly seconds: number;
  /** Does each writer write a document of their own (as where absent), or do they all write the leaders' one? */
  readonly documents?: 'own' | 'one';
  /** Size of each of these documents before they begin, bytes. */
  readonly filled: number;
}

function openSocket(
  port: number,
  board: BoardId,
  cookie: string,
  sign: 'open' | 'message',
): Promise<WebSocket> {
  const socket = new WebSocket(`ws://127.0.0.1:${port}/sync/${board}`, { headers: { cookie } });
  return new Promise((done, failed) => {
    socket.once(sign, () => done(socket));
    socket.once('error', failed);
  });
}

/** Largest piece in which a document is filled, bytes; below what one message may be. */
const PIECE = 100_000;

/** How long nothing is heard when all that was to be said has been said. */
const QUIET_MS = 100;

/** How a writer signs an edit, so that whoever gets it knows whose and which it is. */
const SIGNED = /Ash (\d+)\.(\d+);/;

/** Updates of one writer: those that fill the document, then one small one for each call. Edits of several writers need nothing of each other. */
function writerOf(at: number, document: DocumentName, filled: number) {
  const doc = new Y.Doc();
  const updates: Uint8Array[] = [];
  doc.on('update', (update: Uint8Array) => updates.push(update));
  for (let done = 0; done < filled; done += PIECE)
    doc.getMap('fill').set(`${done}`, 'x'.repeat(Math.min(PIECE, filled - done)));
  const frames = () =>
    updates.splice(0).map((update) => syncFrame(document, SYNC.update, update).slice());
  let turn = 0;
  return {
    fill: frames(),
    next() {
      doc.getMap(`me${at}`).set('name', `Ash ${at}.${turn};`);
      turn += 1;
      return frames()[0] ?? new Uint8Array();
    },
  };
}

/** From the sending of an edit to each of the others, ms, unsorted. */
export interface Delays {
  /** Of the edit with which each writer begins, for which a server may have to make ready what later ones find. */
  readonly first: readonly number[];
  readonly later: readonly number[];
}

/**
 * How long each small edit took: first one of each writer, then as many as are asked for. On two servers writers are on the first and
 * readers on the second, and only what a reader hears counts.
 */
export async function crowdDelays(options: CrowdOptions): Promise<Delays> {
  const { port, board, members, writers, editsASecond, seconds, filled } = options;
  const { documents = 'own', echoes = false, isSilent = false } = options;
  const [here, there] = options.ports ?? [port, port];
  const sockets = await Promise.all(
    members.map(({ cookie }, at) =>
      openSocket(at < writers ? here : there, board, cookie, isSilent ? 'open' : 'message'),
    ),
  );
  const readersAlone = options.ports !== undefined;
  const listeners = sockets.length - (readersAlone ? writers : echoes ? 0 : 1);
  const authors = members.slice(0, writers).map(({ participant }, at) => {
    const isOwn = documents === 'own';
    const document = isOwn ? saidBy(participant) : LEAD_DOCUMENT;
    return writerOf(at, document, isOwn || at === 0 ? filled : 0);
  });
  const sent = authors.map((): number[] => []);
  const first: number[] = [];
  const later: number[] = [];
  let fillings = 0;
  let heardMs = performance.now();
  for (const [reader, socket] of sockets.entries()) {
    socket.on('message', (data: Buffer) => {
      const now = performance.now();
      heardMs = now;
      const frame = readFrame(data);
      if (frame.kind !== 'sync' || frame.step !== SYNC.update) return;
      if (readersAlone && reader < writers) return;
      if (frame.bytes.length > 1000) {
        fillings += 1;
        return;
      }
      const [, author, turn] = SIGNED.exec(Buffer.from(frame.bytes).toString('latin1')) ?? [];
      const from = sent[Number(author)]?.[Number(turn)];
      if (from !== undefined) (turn === '0' ? first : later).push(now - from);
    });
  }
  for (const [at, { fill }] of authors.entries())
    for (const frame of fill) sockets[at]?.send(frame);
  const expected = authors.reduce((sum, { fill }) => sum + fill.length, 0) * listeners;
  while (fillings < expected) await pause(20);
  const write = async (turns: number, delays: readonly number[]) => {
    for (let turn = 0; turn < turns; turn += 1) {
      for (const [at, author] of authors.entries()) {
        const frame = author.next();
        sent[at]?.push(performance.now());
        sockets[at]?.send(frame);
        // Writers are not in step with one another.
        await pause(1000 / editsASecond / writers);
      }
    }
    const all = turns * writers * listeners;
    for (let wait = 0; wait < 200 && delays.length < all; wait += 1) await pause(20);
    if (delays.length < all) throw new Error(`${delays.length} of ${all} edits arrived`);
  };
  // What a board's opening costs is measured by itself: a hundred people who come at once are told of one another.
  const settle = async () => {
    while (performance.now() - heardMs < QUIET_MS) await pause(20);
    // Threads that collect for us would take the processors from the server that is measured, for some milliseconds each time.
    collectGarbage();
  };
  await settle();
  await write(1, first);
  await settle();
  await write(Math.round(seconds * editsASecond), later);
  for (const socket of sockets) socket.terminate();
  await pause(50);
  return { first, later };
}

/** How long it takes until somebody who opens a board has all of its documents, ms. */
export async function openingMs(
  port: number,
  board: BoardId,
  me: Member,
  documents: number,
): Promise<number> {
  const from = performance.now();
  const socket = new WebSocket(`ws://127.0.0.1:${port}/sync/${board}`, {
    headers: { cookie: me.cookie },
  });
  const seen = new Set<string>();
  await new Promise<void>((done, failed) => {
    socket.on('error', failed);
    socket.on('open', () => socket.send(syncFrame(LEAD_DOCUMENT, SYNC.step1, new Uint8Array([0]))));
    socket.on('message', (data: Buffer) => {
      const frame = readFrame(data);
      if (frame.kind === 'sync' && frame.step === SYNC.step2) seen.add(frame.document);
      if (seen.size >= documents) done();
    });
  });
  const took = performance.now() - from;
  socket.terminate();
  return took;
}

export function pause(ms: number): Promise<void> {
  return new Promise((done) => setTimeout(done, ms));
}

/** A value of a sorted list below which this part of it lies. */
export function quantile(values: readonly number[], part: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(part * sorted.length))] ?? Number.NaN;
}
