import type { AddressInfo, Socket } from 'node:net';
import { connect, createServer } from 'node:net';
import type { Ms } from '../../lib/units';
import { seeded } from './link';

/** A line to a server that is slow and uneven each way, and can be cut. */
export interface SlowLine {
  readonly url: string;
  /** Cuts every connection, and takes no new one. */
  readonly cut: () => void;
  readonly mend: () => void;
  /** From now on it is so slow. */
  readonly slow: (slowness: Pick<Slowness, 'least' | 'most'>) => void;
  readonly end: () => Promise<void>;
}

export interface Slowness {
  /** The address that it takes connections at; this machine's own if absent. */
  readonly at?: string;
  /** The least and the most that a piece of data is on its way, ms. */
  readonly least: Ms;
  readonly most: Ms;
  readonly seed: number;
}

/** Hands on what comes, each piece late by a time of its own and none before the one ahead of it, as TCP does. */
function handOn(from: Socket, to: Socket, delay: () => Ms): void {
  const waiting: { readonly at: number; readonly act: () => void }[] = [];
  let free = 0;
  const release = () => {
    while ((waiting[0]?.at ?? Number.POSITIVE_INFINITY) <= performance.now())
      waiting.shift()?.act();
    const next = waiting[0];
    if (next) setTimeout(release, Math.ceil(next.at - performance.now()));
  };
  const later = (act: () => void) => {
    free = Math.max(free, performance.now() + delay());
    waiting.push({ at: free, act });
    if (waiting.length === 1) release();
  };
  from.on('data', (piece) => later(() => to.destroyed || to.write(piece)));
  from.on('end', () => later(() => to.end()));
  from.on('close', () => later(() => to.destroy()));
  // A connection that breaks is closed, and that is handed on.
  from.on('error', () => from.destroy());
}

/** Opens a slow line to the server at `url`, on a port of its own. */
export async function startSlowLine(
  url: string,
  { least, most, seed, at = '127.0.0.1' }: Slowness,
): Promise<SlowLine> {
  const random = seeded(seed);
  let range: Pick<Slowness, 'least' | 'most'> = { least, most };
  const delay = () => range.least + (range.most - range.least) * random();
  const { hostname, port } = new URL(url);
  const open = new Set<Socket>();
  let isCut = false;
  const server = createServer((near) => {
    if (isCut) {
      near.destroy();
      return;
    }
    const far = connect(Number(port), hostname);
    for (const socket of [near, far]) {
      socket.setNoDelay(true);
      open.add(socket);
      socket.on('close', () => open.delete(socket));
    }
    handOn(near, far, delay);
    handOn(far, near, delay);
  });
  await new Promise<void>((listening) => server.listen(0, at, listening));
  const cut = () => {
    isCut = true;
    for (const socket of open) socket.destroy();
  };
  return {
    url: `http://${at}:${(server.address() as AddressInfo).port}`,
    cut,
    mend: () => {
      isCut = false;
    },
    slow: (slowness) => {
      range = slowness;
    },
    end: async () => {
      cut();
      await new Promise((closed) => server.close(closed));
    },
  };
}
