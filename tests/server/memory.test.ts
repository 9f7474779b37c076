import { expect, test } from 'vitest';
import type { Child } from '../kit/child';
import { startChild, takenBy } from '../kit/child';
import { Peer } from '../kit/peers';
import { eventually } from '../kit/provider';
import type { TestBoard, Visitor } from '../kit/server';
import { startTestServer, testFolder } from '../kit/server';
import { testConfig } from '../kit/server-config';

const ROOMS = 200;
const WAVES = 6;
/** What a wave takes if nothing of it comes back, bytes: a room in use is at most 150 kB. */
const WAVE = ROOMS * 150_000;

type Place = readonly [TestBoard, Visitor];

async function prepared(folder: string): Promise<readonly Place[]> {
  const server = await startTestServer({ config: testConfig(folder) });
  const places: Place[] = [];
  for (let index = 0; index < ROOMS; index += 1) {
    const board = await server.create();
    places.push([board, await server.visit(board, 'join')]);
  }
  await server.stop();
  return places;
}

/** Opens every board, and has all rooms close. @returns how many were open, and the resident size afterwards, bytes */
async function wave(child: Child, places: readonly Place[]) {
  const peers: Peer[] = [];
  for (const [board, visitor] of places) peers.push(await Peer.open(child, board, visitor));
  for (const peer of peers) await peer.settled();
  const { rooms } = await takenBy(child);
  for (const peer of peers) await peer.leave();
  await eventually(async () => (await takenBy(child)).rooms === 0, 'all rooms are closed');
  const { sockets, resident } = await takenBy(child);
  expect(sockets).toBe(0);
  return { rooms, resident };
}

test.skipIf(process.platform === 'win32')(
  'hundreds of rooms in waves: the resident size of a real server stays where the first waves have brought it',
  async () => {
    const folder = testFolder();
    const places = await prepared(folder);
    const child = await startChild(folder, { lingerMs: 0 });
    const sizes: number[] = [];
    for (let turn = 0; turn < WAVES; turn += 1) {
      const { rooms, resident } = await wave(child, places);
      expect(rooms).toBe(ROOMS);
      sizes.push(resident);
    }
    // The first two compile what is used and find their place in memory.
    const [, second = 0, ...later] = sizes;
    expect(Math.max(...later) - second).toBeLessThan(WAVE);
  },
  120_000,
);
