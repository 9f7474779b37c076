import { expect, onTestFinished, test, vi } from 'vitest';
import { CLOSE, PRESENCE_AT_ONCE } from '../../../server/limits';
import { Company } from '../../../server/rooms/company';
import { Connection } from '../../../server/rooms/connection';
import { LiveDocuments } from '../../../server/rooms/documents';
import { PresenceTable } from '../../../server/rooms/presence';
import { ballotOf } from '../../../shared/board/roles';
import { writeApproval, writePasses } from '../../../shared/board/write';
import { MemoryHub } from '../../kit/memory-hub';
import { MemoryDatabase, MemoryStore } from '../../kit/memory-store';
import { act } from '../../kit/orders';
import { Peer } from '../../kit/peers';
import { presenceOf } from '../../kit/presence';
import { eventually } from '../../kit/provider';
import type { TestBoard, TestServer, Visitor } from '../../kit/server';
import { startTestServer, testFolder } from '../../kit/server';
import { testConfig } from '../../kit/server-config';

interface Scene {
  readonly server: TestServer;
  readonly board: TestBoard;
  readonly me: Visitor;
  readonly leader: Peer;
}

function planted(): never {
  throw new TypeError('planted by the test');
}

/** A fault of ours in a part of a room, once, and what brings it to light. */
interface Fault {
  readonly name: string;
  readonly plant: () => unknown;
  readonly bring: (scene: Scene) => Promise<unknown>;
}

const documents = LiveDocuments.prototype;
const once = (spy: { mockImplementationOnce: (fault: () => never) => unknown }) =>
  spy.mockImplementationOnce(planted);
const newcomer = async ({ server, board }: Scene) =>
  Peer.open(server, board, await server.visit(board, 'join'));
const agree = (doc: Parameters<typeof writePasses>[0]) =>
  doc.getMap('choice').set('voting', 'agreed');

const FAULTS: readonly Fault[] = [
  {
    name: 'while somebody comes in',
    plant: () => once(vi.spyOn(documents, 'remember')),
    bring: newcomer,
  },
  {
    name: 'while a newcomer is sent the documents',
    plant: () => once(vi.spyOn(documents, 'stateOf')),
    bring: newcomer,
  },
  {
    name: 'while somebody leaves',
    plant: () => once(vi.spyOn(PresenceTable.prototype, 'leave')),
    bring: async (scene) => (await newcomer(scene)).socket.close(),
  },
  {
    name: 'while what pages say of themselves is passed on late',
    plant: () => undefined,
    bring: async (scene) => {
      const { participant } = scene.me;
      const say = (clock: number) =>
        presenceOf({ client: 7, clock, state: { participant, measure: `m${clock}` } });
      const page = await Peer.joined(scene.server, scene.board, scene.me);
      for (let clock = 1; clock <= PRESENCE_AT_ONCE; clock += 1) page.send(say(clock));
      await page.settled();
      once(vi.spyOn(Connection.prototype, 'pass'));
      page.send(say(PRESENCE_AT_ONCE + 1));
    },
  },
  {
    name: 'once something is kept',
    plant: () => once(vi.spyOn(Company.prototype, 'forward')),
    bring: async ({ leader }) => leader.edit('lead', (doc) => writePasses(doc, 9)),
  },
  {
    name: 'while the board is kept as it is',
    plant: () => once(vi.spyOn(documents, 'kept')),
    bring: async ({ leader }) => leader.edit('lead', agree),
  },
  {
    name: 'after a link was made new',
    plant: () => once(vi.spyOn(documents, 'noteRenewed')),
    bring: async ({ leader: peer }) => act({ peer }, { kind: 'renew-link', role: 'join' }),
  },
  {
    name: 'while a board returns to how it was',
    plant: () => once(vi.spyOn(documents, 'returnTo')),
    bring: async ({ server, board, me: { cookie }, leader }) => {
      leader.edit('lead', agree);
      const numbers = async () => {
        const listed = await server.host.listPast(board.id, cookie);
        return listed.ok ? listed.value.map(({ number }) => number) : [];
      };
      await eventually(async () => (await numbers()).length > 0, 'a point is kept');
      const [number = 0] = await numbers();
      await expect(server.host.returnToPast(board.id, number, cookie)).rejects.toThrow('planted');
    },
  },
];

test.each(FAULTS)(
  '[R11] a fault $name ends that board alone, and what was kept is there again',
  async ({ plant, bring }) => {
    const reports: [string, unknown][] = [];
    const report = (words: string, error: unknown) => reports.push([words, error]);
    const server = await startTestServer({ lingerMs: 60_000, report });
    const [board, elsewhere] = [await server.create(), await server.create()];
    const me = await server.visit(board, 'lead');
    const leader = await Peer.joined(server, board, me);
    const student = await server.visit(board, 'join');
    const voter = await Peer.joined(server, board, student);
    voter.edit(ballotOf(student.participant), (doc) => writeApproval(doc, 'plain:m1', true));
    await voter.settled();
    const other = await Peer.joined(server, elsewhere, await server.visit(elsewhere, 'lead'));
    leader.edit('lead', (doc) => writePasses(doc, 7));
    await leader.settled();
    onTestFinished(() => {
      vi.restoreAllMocks();
    });
    plant();
    await bring({ server, board, me, leader });
    await eventually(() => leader.closed?.code === CLOSE.notKept, 'the board is given up');
    expect(leader.refusals.map(({ code }) => code)).toEqual(['not-kept']);
    expect(reports).toEqual([
      [expect.stringContaining(`wrong on board ${board.id}`), new TypeError('planted by the test')],
    ]);
    other.edit('lead', (doc) => writePasses(doc, 5));
    await other.settled();
    expect(other.closed).toBeUndefined();
    const again = await Peer.joined(server, board, me);
    await again.settled();
    expect([7, 9]).toContain(again.sees?.passes);
    expect(again.sees?.approvals[student.participant]).toEqual(['plain:m1']);
    again.edit('lead', (doc) => writePasses(doc, 11));
    await again.settled();
    expect((await server.host.readBoard(board.id))?.passes).toBe(11);
  },
);

test('[R11] the socket with which a fault came to light is closed in words like all others', async () => {
  const server = await startTestServer({ lingerMs: 60_000, report: () => undefined });
  const board = await server.create();
  vi.spyOn(documents, 'remember').mockImplementationOnce(planted);
  onTestFinished(() => {
    vi.restoreAllMocks();
  });
  const peer = await Peer.open(server, board, await server.visit(board, 'join'));
  await eventually(() => peer.closed !== undefined, 'it is closed');
  expect(peer.closed?.code).toBe(CLOSE.notKept);
  expect(peer.refusals.map(({ code }) => code)).toEqual(['not-kept']);
});

test('[R11] a fault while a node takes what another has written ends the board on that node alone, and nothing is lost', async () => {
  const [database, hub] = [new MemoryDatabase(), new MemoryHub()];
  const reports: string[] = [];
  const start = () =>
    startTestServer({
      config: { ...testConfig(testFolder()), databaseUrl: 'postgres://in.memory/only' },
      shared: {
        store: new MemoryStore(database),
        fanout: () => hub.line(),
        roundMs: 600_000,
      },
      report: (words) => reports.push(words),
    });
  const [one, two] = [await start(), await start()];
  const board = await one.create();
  const leader = await Peer.joined(one, board, await one.visit(board, 'lead'));
  const me = await two.visit(board, 'join');
  const ash = await Peer.joined(two, board, me);
  await ash.settled();
  await leader.settled();
  // What was noted of the newcomers is known everywhere before.
  await one.host.readBoard(board.id);
  await two.host.readBoard(board.id);
  const hear = vi.spyOn(documents, 'hear').mockImplementationOnce(planted);
  onTestFinished(() => {
    hear.mockRestore();
  });
  leader.edit('lead', (doc) => writePasses(doc, 9));
  await eventually(() => ash.closed?.code === CLOSE.notKept, 'the other node gives up the board');
  await leader.settled();
  expect(leader.closed).toBeUndefined();
  const again = await Peer.joined(two, board, me);
  await again.until(() => again.sees?.passes === 9);
  expect(reports.join()).toContain(`wrong on board ${board.id}`);
});
