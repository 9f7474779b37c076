import { open } from 'node:fs/promises';
import { join } from 'node:path';
import type { WebSocket } from 'ws';
import { WebSocketServer } from 'ws';
import { newBoardId } from '../../server/links';
import { SqliteStore } from '../../server/store/sqlite';
import { LEAD_DOCUMENT } from '../../shared/board/roles';

/**
 * Servers to measure ours against, in a process of their own: `relay` passes every message on to all others of its board; `synced` writes it to a file and
 * syncs that first, one sync for all that arrived meanwhile; `stored` does the same with our own store. None of them reads what it passes on, remembers anything or refuses anybody.
 */
const [, , kind = 'relay', folder = '.'] = process.argv;
const boards = new Map<string, Set<WebSocket>>();
const file = await open(join(folder, 'bare.log'), 'a');
let waiting: { readonly bytes: Buffer; readonly pass: () => void }[] = [];
let writing = false;

const store = kind === 'stored' ? new SqliteStore(folder) : undefined;
const board = newBoardId();
await store?.create({ id: board, createdMs: 0, links: [] }, []);

async function keep(all: readonly Buffer[]): Promise<void> {
  if (store) {
    await store.append(
      board,
      all.map((update) => ({ document: LEAD_DOCUMENT, update })),
    );
    return;
  }
  await file.appendFile(Buffer.concat(all));
  await file.datasync();
}

async function write(): Promise<void> {
  writing = true;
  while (waiting.length > 0) {
    const batch = waiting;
    waiting = [];
    await keep(batch.map(({ bytes }) => bytes));
    for (const { pass } of batch) pass();
  }
  writing = false;
}

const server = new WebSocketServer({ port: 0, host: '127.0.0.1' });
server.on('connection', (socket, request) => {
  const path = (request.url ?? '').split('?')[0] ?? '';
  const others = boards.get(path) ?? new Set();
  boards.set(path, others.add(socket));
  socket.on('close', () => others.delete(socket));
  socket.on('message', (data) => {
    const bytes = Buffer.isBuffer(data) ? data : Buffer.alloc(0);
    const pass = () => {
      for (const other of others) if (other !== socket) other.send(bytes);
    };
    if (kind === 'relay') return pass();
    waiting.push({ bytes, pass });
    if (!writing) void write();
  });
});
server.on('listening', () => {
  const address = server.address();
  process.stdout.write(`${typeof address === 'object' ? address?.port : ''}\n`);
});
