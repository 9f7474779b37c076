import { execFileSync, spawn } from 'node:child_process';
import { once } from 'node:events';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { saidBy } from '../../shared/board/roles';
import { writeName } from '../../shared/board/write';
import { startChild } from '../kit/child';
import { Peer } from '../kit/peers';
import { startTestServer, testFolder } from '../kit/server';
import { testConfig } from '../kit/server-config';

/** Is there a `strace` here that may look into a process of ours? */
const looks = (() => {
  try {
    execFileSync('strace', ['-o', '/dev/null', 'true'], { stdio: 'ignore' });
    return true;
  } catch (error) {
    if (error instanceof Error) return false;
    throw error;
  }
})();

interface Call {
  readonly what: 'sync' | 'send';
  readonly text: string;
}

/** The calls of a trace in order, where a call that was interrupted counts when it ends. */
function callsIn(trace: string): readonly Call[] {
  return trace.split('\n').flatMap((text): readonly Call[] => {
    if (text.includes('<unfinished')) return [];
    if (/\b(fsync|fdatasync)\(|<\.\.\. (fsync|fdatasync) resumed/.test(text))
      return [{ what: 'sync', text }];
    if (/\b(write|writev|sendto|sendmsg)\(/.test(text)) return [{ what: 'send', text }];
    return [];
  });
}

test.skipIf(!looks)(
  'system calls show it: each edit is synced after it came and before it goes out to others',
  async () => {
    const folder = testFolder();
    const server = await startTestServer({ config: testConfig(folder) });
    const board = await server.create();
    const [writer, reader] = [
      await server.visit(board, 'join'),
      await server.visit(board, 'watch'),
    ];
    await server.stop();
    const child = await startChild(folder);
    const author = await Peer.open(child, board, writer);
    const witness = await Peer.open(child, board, reader);
    for (const peer of [author, witness]) await peer.fetch('lead');
    const out = join(testFolder(), 'trace');
    const calls = 'fsync,fdatasync,write,writev,sendto,sendmsg';
    const tracer = spawn(
      'strace',
      ['-f', '-s', '4096', '-e', `trace=${calls}`, '-o', out, '-p', `${child.child.pid}`],
      { stdio: ['ignore', 'ignore', 'pipe'] },
    );
    onTestFinished(() => {
      tracer.kill('SIGKILL');
    });
    await once(tracer.stderr, 'data');
    const names = Array.from({ length: 5 }, (_, at) => `Marker${at}Marker`);
    for (const name of names) {
      author.edit(saidBy(writer.participant), (doc) => writeName(doc, name));
      await witness.until(
        () => witness.sees?.people.some((person) => person.name === name) ?? false,
      );
    }
    tracer.kill('SIGINT');
    await once(tracer, 'exit');
    const seen = callsIn(readFileSync(out, 'utf8'));
    let before = -1;
    for (const name of names) {
      const goesOut = seen.findIndex(({ what, text }) => what === 'send' && text.includes(name));
      const synced = seen.findLastIndex(({ what }, at) => what === 'sync' && at < goesOut);
      expect(goesOut, name).toBeGreaterThan(0);
      // The one before was seen by the witness before this one was sent, so a sync after that is this one's.
      expect(synced, name).toBeGreaterThan(before);
      before = goesOut;
    }
  },
  60_000,
);
