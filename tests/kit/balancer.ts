import type { Socket } from 'node:net';
import { connect, createServer } from 'node:net';

/** Stands before several servers and hands each new connection to the next of them, as a balancer of the fourth layer does. */
export interface Balancer {
  readonly port: number;
  readonly url: string;
  readonly add: (port: number) => void;
  /** New connections go to others from now on; those that are there stay until their server ends them. */
  readonly remove: (port: number) => void;
  readonly end: () => Promise<void>;
}

export async function startBalancer(): Promise<Balancer> {
  const open = new Set<Socket>();
  let servers: readonly number[] = [];
  let turn = 0;
  const balancer = createServer((near) => {
    turn += 1;
    const target = servers[turn % servers.length];
    if (target === undefined) {
      near.destroy();
      return;
    }
    const far = connect(target, '127.0.0.1');
    for (const [socket, other] of [
      [near, far],
      [far, near],
    ] as const) {
      open.add(socket);
      socket.setNoDelay(true);
      socket.pipe(other);
      // A connection that breaks on one side is cut on the other.
      socket.on('error', () => other.destroy());
      socket.on('close', () => {
        open.delete(socket);
        other.destroy();
      });
    }
  });
  await new Promise<void>((listening) => balancer.listen(0, '127.0.0.1', listening));
  const address = balancer.address();
  const port = typeof address === 'object' && address ? address.port : 0;
  return {
    port,
    url: `http://127.0.0.1:${port}`,
    add: (server) => {
      servers = [...servers, server];
    },
    remove: (server) => {
      servers = servers.filter((each) => each !== server);
    },
    end: async () => {
      for (const socket of open) socket.destroy();
      await new Promise((closed) => balancer.close(closed));
    },
  };
}
