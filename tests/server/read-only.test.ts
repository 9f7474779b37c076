import { execFileSync, spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import * as Y from 'yjs';
import { saidBy } from '../../shared/board/roles';
import { writeName } from '../../shared/board/write';
import { startChild } from '../kit/child';
import { Peer } from '../kit/peers';
import type { TestBoard, Visitor } from '../kit/server';
import { startTestServer, testFolder } from '../kit/server';
import { testConfig } from '../kit/server-config';
import { CAN_TRACE, trace } from '../kit/tracer';

async function prepared(folder: string) {
  const server = await startTestServer({ config: testConfig(folder) });
  const board = await server.create();
  const people = {
    writer: await server.visit(board, 'join'),
    witness: await server.visit(board, 'watch'),
  };
  await server.stop();
  return { board, people };
}

async function join2(port: number, board: TestBoard, visitor: Visitor): Promise<Peer> {
  const peer = await Peer.open({ port }, board, visitor);
  await peer.fetch('lead');
  await peer.settled();
  return peer;
}

const named = (peer: Peer, name: string) =>
  peer.sees?.people.some((person) => person.name === name) ?? false;

/**
 * System calls of a real, running server that fail from then on, as they do on a disk that the system has made read-only, that is broken, or
 * that is full. Sockets do not use them. Source: write(2), fsync(2).
 */
test.skipIf(!CAN_TRACE).each([
  ['read-only', 'pwrite64,pwritev', 'EROFS'],
  ['broken when it is written', 'pwrite64,pwritev', 'EIO'],
  ['broken when it is synced', 'fsync,fdatasync', 'EIO'],
  ['full', 'pwrite64,pwritev', 'ENOSPC'],
])(
  'a disk that becomes %s under a running server: nothing is seen that is not kept, it is said, and work goes on when it is mended',
  async (_, calls, error) => {
    const folder = testFolder();
    const { board, people } = await prepared(folder);
    const child = await startChild(folder);
    let said = '';
    child.child.stderr?.on('data', (chunk: Buffer) => {
      said += chunk.toString();
    });
    const writer = await join2(child.port, board, people.writer);
    const witness = await join2(child.port, board, people.witness);
    const name = saidBy(people.writer.participant);
    writer.edit(name, (doc) => writeName(doc, 'Kept'));
    await witness.until(() => named(witness, 'Kept'));
    const mend = await trace(child, '-e', `inject=${calls}:error=${error}`, '-o', '/dev/null');
    writer.edit(name, (doc) => writeName(doc, 'Never kept'));
    await witness.until(() => witness.closed !== undefined);
    await writer.until(() => writer.closed !== undefined);
    expect([writer.closed?.code, witness.closed?.code]).toEqual([4500, 4500]);
    expect(writer.refusals.map(({ code }) => code)).toEqual(['not-kept']);
    expect(said).toContain(`Changes of board ${board.id} could not be kept.`);
    // Who comes now sees what is on disk, as long as the disk can be read.
    const reader = await join2(child.port, board, people.witness);
    expect([named(reader, 'Kept'), named(reader, 'Never kept')]).toEqual([true, false]);
    await mend();
    const again = await join2(child.port, board, people.writer);
    again.edit(name, (doc) => writeName(doc, 'Mended'));
    await reader.until(() => named(reader, 'Mended'));
    child.child.kill('SIGKILL');
    await reader.until(() => reader.closed !== undefined);
    const after = await startChild(folder);
    const late = await join2(after.port, board, people.witness);
    expect([named(late, 'Mended'), named(late, 'Never kept')]).toEqual([true, false]);
    expect(Y.encodeStateVector(late.family.open(name))).toEqual(
      Y.encodeStateVector(reader.family.open(name)),
    );
  },
  60_000,
);

/** May we mount here, in a namespace of our own? */
const CAN_MOUNT = spawnSync('unshare', ['-rm', 'true']).status === 0;

test.skipIf(!CAN_MOUNT)(
  'a data folder on a disk that is mounted read-only: one plain sentence, and what is in it stays as it is',
  async () => {
    const folder = testFolder();
    const { board, people } = await prepared(folder);
    const sums = () => execFileSync('sh', ['-c', 'cd "$0" && cksum *', folder]).toString();
    const before = sums();
    const main = join(import.meta.dirname, '..', '..', 'server', 'main.ts');
    const start = `mount --bind "$0" "$0" && mount -o remount,bind,ro "$0" && exec "$1" --import tsx "$2"`;
    const done = spawnSync('unshare', ['-rm', 'sh', '-c', start, folder, process.execPath, main], {
      env: { ...process.env, NODE_ENV: 'production', PORT: '0', DATA_DIR: folder },
      timeout: 20_000,
    });
    expect(done.stderr.toString()).toMatch(/^The data folder .* cannot be written .*\n$/);
    expect(done.status).toBe(1);
    expect(sums()).toBe(before);
    const { port } = await startChild(folder);
    expect((await join2(port, board, people.witness)).sees?.leftOut).toEqual([]);
  },
  40_000,
);
