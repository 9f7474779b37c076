import { describe, expect, test } from 'vitest';
import * as Y from 'yjs';
import type { ParticipantId } from '../../../lib/units';
import { variantIdOf } from '../../../shared/board/paths';
import type { DocumentName, Role } from '../../../shared/board/roles';
import { ballotOf, ROLES, saidBy } from '../../../shared/board/roles';
import {
  writeAgreed,
  writeApproval,
  writeName,
  writePasses,
  writeProposal,
  writeVotingOpen,
} from '../../../shared/board/write';
import { syncFrame } from '../../../shared/wire/frame';
import type { SyncKind } from '../../../shared/wire/kind';
import { SYNC } from '../../../shared/wire/kind';
import { Peer } from '../../kit/peers';
import type { TestBoard, TestServer, Visitor } from '../../kit/server';
import { startTestServer } from '../../kit/server';

/** Every document's state as the disk has it, by name. */
async function onDisk(server: TestServer, board: TestBoard): Promise<Record<string, string>> {
  const witness = await Peer.joined(server, board, await server.visit(board, 'watch'));
  await witness.settled();
  const states = witness.family
    .names()
    .map((name) => [
      name,
      Buffer.from(Y.encodeStateAsUpdate(witness.family.open(name))).toString('hex'),
    ]);
  await witness.leave();
  return Object.fromEntries(states);
}

/** Some update that no document has. */
function anUpdate(): Uint8Array {
  const doc = new Y.Doc();
  doc.getMap('me').set('name', 'Wren');
  return Y.encodeStateAsUpdate(doc);
}

interface Cast {
  readonly server: TestServer;
  readonly board: TestBoard;
  readonly me: Visitor;
  readonly other: Visitor;
}

async function castWith(role: Role): Promise<Cast> {
  const server = await startTestServer({ lingerMs: 60_000 });
  const board = await server.create();
  const other = await server.visit(board, 'join');
  const there = await Peer.joined(server, board, other);
  there.edit(saidBy(other.participant), (doc) => writeName(doc, 'Alder'));
  there.edit(ballotOf(other.participant), (doc) => writeApproval(doc, 'plain:m1', true));
  await there.settled();
  await there.leave();
  return { server, board, me: await server.visit(board, role), other };
}

type Which = 'lead' | 'house' | 'own said' | 'own ballot' | "another's said" | "another's ballot";

function nameOf(which: Which, { me, other }: Cast): DocumentName {
  switch (which) {
    case 'lead':
    case 'house':
      return which;
    case 'own said':
      return saidBy(me.participant);
    case 'own ballot':
      return ballotOf(me.participant);
    case "another's said":
      return saidBy(other.participant);
    case "another's ballot":
      return ballotOf(other.participant);
  }
}

const MAY: readonly (readonly [Role, readonly Which[]])[] = [
  ['lead', ['lead', 'own said', 'own ballot']],
  ['join', ['own said', 'own ballot']],
  ['watch', []],
];
const ALL: readonly Which[] = [
  'lead',
  'house',
  'own said',
  'own ballot',
  "another's said",
  "another's ballot",
];

describe.each(MAY)('[R2] who came by the %s link', (role, may) => {
  test.each(ALL.map((which) => [may.includes(which) ? 'may' : 'may not', which] as const))(
    '%s write %s',
    async (verdict, which) => {
      const cast = await castWith(role);
      const peer = await Peer.joined(cast.server, cast.board, cast.me);
      await peer.settled();
      const before = await onDisk(cast.server, cast.board);
      for (const step of [SYNC.update, SYNC.step2] satisfies SyncKind[])
        peer.send(syncFrame(nameOf(which, cast), step, anUpdate()));
      await peer.settled();
      const after = await onDisk(cast.server, cast.board);
      if (verdict === 'may') {
        expect(peer.refusals).toEqual([]);
        expect(after).not.toEqual(before);
      } else {
        expect(peer.refusals.map(({ code, document }) => ({ code, document }))).toEqual(
          Array.from({ length: 2 }, () => ({
            code: 'not-yours',
            document: nameOf(which, cast),
          })),
        );
        expect(after).toEqual(before);
      }
    },
  );
});

test('[R2] a ballot is refused while voting is closed, and taken when it is open again', async () => {
  const { server, board, me } = await castWith('join');
  const leader = await Peer.joined(server, board, await server.visit(board, 'lead'));
  leader.edit('lead', (doc) => writeAgreed(doc, { passes: [{}], variants: {} }));
  await leader.settled();
  const peer = await Peer.joined(server, board, me);
  const vote = new Y.Doc();
  writeApproval(vote, 'plain:m1', true);
  const frame = syncFrame(ballotOf(me.participant), SYNC.update, Y.encodeStateAsUpdate(vote));
  peer.send(frame);
  await peer.settled();
  expect(peer.refusals.map(({ code }) => code)).toEqual(['voting-closed']);
  expect(peer.sees?.approvals[me.participant]).toBeUndefined();
  leader.edit('lead', writeVotingOpen);
  await leader.settled();
  peer.send(frame);
  await peer.settled();
  expect((await server.host.readBoard(board.id))?.approvals[me.participant]).toEqual(['plain:m1']);
});

test('[R3] what somebody may not write is not even read: bytes that are no update get the same answer', async () => {
  const { server, board, me } = await castWith('join');
  const peer = await Peer.joined(server, board, me);
  peer.send(syncFrame('lead', SYNC.update, new Uint8Array([255, 255, 255, 1])));
  await peer.settled();
  expect(peer.refusals.map(({ code }) => code)).toEqual(['not-yours']);
});

test('[R3] the update in which nothing happened is nothing, whoever sends it', async () => {
  const { server, board, me } = await castWith('watch');
  const peer = await Peer.joined(server, board, me);
  for (const name of ['lead', 'house'] satisfies DocumentName[])
    peer.send(syncFrame(name, SYNC.step2, new Uint8Array([0, 0])));
  await peer.settled();
  expect(peer.refusals).toEqual([]);
});

test('[R4] a name that no document has, or of somebody unknown, is no document', async () => {
  const { server, board, me } = await castWith('lead');
  const peer = await Peer.joined(server, board, me);
  const names = ['said', 'said/nobody', 'said/abcdefghijkl', 'ballot/abcdefghijkl', '', 'lead/x'];
  for (const name of names)
    peer.send(syncFrame(name as DocumentName, SYNC.step1, new Uint8Array([0])));
  for (const name of names) peer.send(syncFrame(name as DocumentName, SYNC.update, anUpdate()));
  await peer.settled();
  expect(peer.refusals.map(({ code }) => code)).toEqual(
    Array.from({ length: 2 * names.length }, () => 'no-such-document'),
  );
});

test('[R5] everybody may read every document that is there', async () => {
  const { server, board, other } = await castWith('join');
  for (const role of ROLES) {
    const peer = await Peer.open(server, board, await server.visit(board, role));
    for (const name of ['lead', 'house', saidBy(other.participant), ballotOf(other.participant)])
      await peer.fetch(name as DocumentName);
    expect(peer.refusals).toEqual([]);
    expect(peer.sees?.people.find(({ id }) => id === other.participant)?.name).toBe('Alder');
    expect(peer.sees?.approvals[other.participant]).toEqual(['plain:m1']);
  }
});

test('[R6] a newcomer is sent every document but lead unasked, and asked only for what they may write', async () => {
  const { server, board, other } = await castWith('join');
  const asked: Record<string, readonly string[]> = {};
  for (const role of ROLES) {
    const me = await server.visit(board, role);
    const peer = await Peer.open(server, board, me);
    await peer.settled();
    expect(peer.words[0]).toMatchObject({
      kind: 'welcome',
      role,
      participant: me.participant,
    });
    const sent = peer.frames.flatMap((frame) =>
      frame.kind === 'sync' && frame.step === SYNC.step2 ? [frame.document] : [],
    );
    expect(sent).toContain('house');
    expect(sent).toContain(saidBy(other.participant));
    expect(sent).toContain(ballotOf(other.participant));
    expect(sent).not.toContain('lead');
    asked[role] = peer.frames.flatMap((frame) =>
      frame.kind === 'sync' && frame.step === SYNC.step1
        ? [frame.document.replace(me.participant, 'me')]
        : [],
    );
  }
  expect(asked).toEqual({
    lead: ['lead', 'said/me', 'ballot/me'],
    join: ['said/me', 'ballot/me'],
    watch: [],
  });
});

test('[R7] proposals are noted in the order in which they arrived, whoever made them', async () => {
  const { server, board } = await castWith('join');
  const people = [
    await server.visit(board, 'join'),
    await server.visit(board, 'join'),
    await server.visit(board, 'lead'),
  ];
  const peers: Peer[] = [];
  for (const person of people) peers.push(await Peer.joined(server, board, person));
  const before = (await server.host.readBoard(board.id))?.variants.length ?? 0;
  const measure = peers[0]?.sees?.tune.parts[0]?.measures[0];
  if (!measure) throw new Error('the demo has a first measure');
  const turns = [2, 0, 1, 1, 0, 2];
  const expected: string[] = [];
  for (const [turn, who] of turns.entries()) {
    const me = people[who] as Visitor;
    const peer = peers[who] as Peer;
    const strokes = measure.strokes.slice(0, turn + 1);
    expected.push(variantIdOf(me.participant, measure.id, strokes));
    peer.edit(saidBy(me.participant), (doc) =>
      writeProposal(doc, me.participant, { measure: measure.id, strokes, note: '' }),
    );
    await peer.settled();
  }
  const board1 = await server.host.readBoard(board.id);
  expect(board1?.variants.slice(before).map(({ id }) => id)).toEqual(expected);
  expect(board1?.variants.map(({ arrived }) => arrived)).toEqual(
    board1?.variants.map((_, index) => index),
  );
});

test('[R8] people are known by their role once they are there; who watches is not remembered', async () => {
  const server = await startTestServer();
  const board = await server.create();
  const already = new Set((await server.host.readBoard(board.id))?.people.map(({ id }) => id));
  const roles: Record<string, Role> = {};
  for (const role of ROLES) {
    const me = await server.visit(board, role);
    await Peer.joined(server, board, me);
    if (role !== 'watch') roles[me.participant] = role;
  }
  const people = (await server.host.readBoard(board.id))?.people ?? [];
  const fresh = people.filter(({ id }) => !already.has(id));
  expect(Object.fromEntries(fresh.map(({ id, role }) => [id as ParticipantId, role]))).toEqual(
    roles,
  );
});

test('[R8] somebody who comes by a secret alone is remembered once they have said something', async () => {
  const server = await startTestServer();
  const board = await server.create();
  const count = async () => (await server.host.readBoard(board.id))?.people.length;
  const before = await count();
  const peer = await Peer.open(server, board, { key: board.secrets.join });
  await peer.settled();
  expect(await count()).toBe(before);
  const [welcome] = peer.words;
  if (welcome?.kind !== 'welcome') throw new Error('no welcome');
  peer.edit(saidBy(welcome.participant), (doc) => writeName(doc, 'Rowan'));
  await peer.settled();
  expect(await count()).toBe((before ?? 0) + 1);
});

test('[R2] a leader may change the board, and everybody sees it', async () => {
  const { server, board, me } = await castWith('lead');
  const leader = await Peer.joined(server, board, me);
  const watcher = await Peer.joined(server, board, await server.visit(board, 'watch'));
  leader.edit('lead', (doc) => writePasses(doc, 7));
  await watcher.until(() => watcher.sees?.passes === 7);
});
