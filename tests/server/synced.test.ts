import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { saidBy } from '../../shared/board/roles';
import { writeName } from '../../shared/board/write';
import { startChild } from '../kit/child';
import { Peer } from '../kit/peers';
import { startTestServer, testFolder } from '../kit/server';
import { testConfig } from '../kit/server-config';
import { CAN_TRACE, trace } from '../kit/tracer';

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

test.skipIf(!CAN_TRACE)(
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
    const letGo = await trace(child, '-s', '4096', '-e', `trace=${calls}`, '-o', out);
    const names = Array.from({ length: 5 }, (_, at) => `Marker${at}Marker`);
    for (const name of names) {
      author.edit(saidBy(writer.participant), (doc) => writeName(doc, name));
      await witness.until(
        () => witness.sees?.people.some((person) => person.name === name) ?? false,
      );
    }
    await letGo();
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
