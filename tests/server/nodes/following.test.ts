import { expect, test } from 'vitest';
import { playStateOf } from '../../../shared/board/play-state';
import { writeTransport } from '../../../shared/board/write';
import { FaultyFanout, seeded } from '../../kit/hub';
import { MemoryHub } from '../../kit/memory-hub';
import { MemoryDatabase, MemoryStore } from '../../kit/memory-store';
import { startNode } from '../../kit/nodes';
import { Peer } from '../../kit/peers';

const lastPassOf = (peer: Peer) =>
  peer.plays.map(({ transport }) => (transport.kind === 'playing' ? transport.lastPass : 0));

test('who follows on another node is told what a leader presses here, also while the nodes do not hear one another', async () => {
  const database = new MemoryDatabase();
  const hub = new MemoryHub();
  const lines: FaultyFanout[] = [];
  const node = () =>
    startNode('postgres://in.memory/only', undefined, {
      store: new MemoryStore(database),
      roundMs: 25,
      fanout: () => {
        const line = new FaultyFanout(hub.line(), { lost: 0, doubled: 0, late: 0 }, seeded(1));
        lines.push(line);
        return line;
      },
    });
  const [one, two] = [await node(), await node()];
  const board = await one.create();
  const leader = await Peer.joined(one, board, await one.visit(board, 'lead'));
  const me = await two.visit(board, 'watch');
  const follower = await Peer.following(two, board, me);
  const press = async (lastPass: number) => {
    const leg = { kind: 'play', atMs: 10_000, pass: 1, visit: 0, tempo: 100 } as const;
    leader.edit('lead', (doc) => writeTransport(doc, { kind: 'playing', legs: [leg], lastPass }));
    await follower.until(() => lastPassOf(follower).at(-1) === lastPass);
  };
  await press(1);
  for (const line of lines) line.cut();
  await press(2);
  for (const line of lines) line.mend();
  await press(3);
  expect(lastPassOf(follower)).toEqual([0, 1, 2, 3]);
  const page = await two.host.readBoard(board.id, me.participant);
  expect(page && playStateOf(page, me.participant)).toEqual(follower.plays.at(-1));
  expect(follower.frames.filter(({ kind }) => kind === 'sync')).toEqual([]);
});
