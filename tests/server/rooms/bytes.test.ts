import fc from 'fast-check';
import * as encoding from 'lib0/encoding';
import { expect, test } from 'vitest';
import * as Y from 'yjs';
import { saidBy } from '../../../shared/board/roles';
import { writeName, writePasses } from '../../../shared/board/write';
import { syncFrame } from '../../../shared/wire/frame';
import { KIND, SYNC } from '../../../shared/wire/kind';
import { crafted, gc, large, lateUpdate, nested, nestedValue, skip } from '../../kit/craft';
import { Peer } from '../../kit/peers';
import { startTestServer } from '../../kit/server';

async function leaderAndWitness() {
  const server = await startTestServer({ lingerMs: 60_000 });
  const board = await server.create();
  const me = await server.visit(board, 'lead');
  const leader = await Peer.joined(server, board, me);
  const witness = await Peer.joined(server, board, await server.visit(board, 'watch'));
  await witness.settled();
  return { server, board, me, leader, witness };
}

/** Everything that a newcomer is given, as bytes in hex. */
async function stateFor(peer: Peer): Promise<Record<string, string>> {
  const fresh = new Map<string, string>();
  for (const name of peer.family.names()) {
    const before = peer.frames.length;
    peer.send(syncFrame(name, SYNC.step1, new Uint8Array([0])));
    await peer.until(() =>
      peer.frames.slice(before).some((frame) => frame.kind === 'sync' && frame.document === name),
    );
    const answer = peer.frames.slice(before).find((frame) => frame.kind === 'sync');
    if (answer?.kind === 'sync') fresh.set(name, Buffer.from(answer.bytes).toString('hex'));
  }
  return Object.fromEntries(fresh);
}

function withDocumentInside(): Uint8Array {
  const doc = new Y.Doc();
  doc.getMap('deep').set('in', new Y.Doc());
  return Y.encodeStateAsUpdate(doc);
}

const CASES: readonly (readonly [string, 'unreadable' | 'incomplete' | 'too-large', Uint8Array])[] =
  [
    ['no bytes', 'unreadable', new Uint8Array([])],
    ['one byte', 'unreadable', new Uint8Array([1])],
    [
      'a few bytes that claim 30 million structs',
      'unreadable',
      new Uint8Array([1, 0x80, 0x87, 0xa7, 0x0e, 1, 0]),
    ],
    ['a half update', 'unreadable', large(100).slice(0, 60)],
    ['an update in encoding V2', 'unreadable', Y.convertUpdateFormatV1ToV2(large(100))],
    [
      'a change whose predecessor is missing',
      'incomplete',
      lateUpdate(
        (doc) => writePasses(doc, 2),
        (doc) => writePasses(doc, 3),
      ),
    ],
    [
      'a change that stands on what is missing of another writer',
      'incomplete',
      crafted([
        [
          77,
          0,
          (encoder) => {
            encoding.writeUint8(encoder, 8 | 0x80); // ContentAny with a left origin
            encoding.writeVarUint(encoder, 78);
            encoding.writeVarUint(encoder, 5);
            encoding.writeVarUint(encoder, 1);
            encoding.writeAny(encoder, 1);
          },
        ],
      ]),
    ],
    ['a hole', 'incomplete', crafted([[77, 0, skip(3)]])],
    ['a start after a hole', 'incomplete', crafted([[77, 3, gc(1)]])],
    ['a deletion of what is not there', 'incomplete', crafted([], [[77, 0, 1]])],
    ['a deletion beyond what is there', 'incomplete', crafted([[77, 0, gc(2)]], [[77, 1, 2]])],
    ['a clock that nobody could read again', 'unreadable', crafted([[77, 0, gc(2 ** 52)]])],
    ['a struct of no length', 'unreadable', crafted([[77, 0, gc(0)]])],
    ['types nested 3000 deep', 'unreadable', nested(3000)],
    ['types nested 40 deep', 'unreadable', nested(40)],
    ['values nested 200 deep', 'unreadable', nestedValue(200)],
    ['a document within the document', 'unreadable', withDocumentInside()],
    ['a message of 300 kB', 'too-large', large(300_000)],
  ];

test.each(CASES)('[R10] %s is refused as %s and changes nothing', async (_, code, update) => {
  const { leader, witness } = await leaderAndWitness();
  const before = await stateFor(witness);
  const frames = witness.frames.length;
  leader.send(syncFrame('lead', SYNC.update, update));
  await leader.settled();
  expect(leader.refusals.map((refusal) => refusal.code)).toEqual([code]);
  await witness.settled();
  expect(witness.frames.length).toBe(frames + 1);
  expect(await stateFor(witness)).toEqual(before);
});

test('[R10] after a refusal the next good change is taken, and nothing of the refused one lands with it', async () => {
  const { leader, witness } = await leaderAndWitness();
  for (const [, , update] of CASES) leader.send(syncFrame('lead', SYNC.update, update));
  leader.edit('lead', (doc) => writePasses(doc, 11));
  await witness.until(() => witness.sees?.passes === 11);
  expect(witness.family.lead.store.pendingStructs).toBeNull();
  expect(witness.family.lead.share.has('deep')).toBe(false);
  expect(leader.refusals).toHaveLength(CASES.length);
});

test('[R10] who makes a change before they were asked for those that it builds on is asked at once, and loses none', async () => {
  const { me, leader, witness } = await leaderAndWitness();
  const name = saidBy(me.participant);
  const doc = leader.family.open(name);
  writeName(doc, 'written while the line was down');
  leader.frames.length = 0;
  leader.edit(name, (mine) => writeName(mine, 'and another'));
  const asked = () =>
    leader.frames.find(
      (frame) => frame.kind === 'sync' && frame.document === name && frame.step === SYNC.step1,
    );
  await leader.until(() => asked() !== undefined);
  const question = asked();
  if (question?.kind !== 'sync') throw new Error('nothing was asked');
  leader.send(syncFrame(name, SYNC.step2, Y.encodeStateAsUpdate(doc, question.bytes)));
  await witness.until(() => witness.family.find(name)?.getMap('me').get('name') === 'and another');
  expect(leader.refusals.map(({ code }) => code)).toEqual(['incomplete']);
});

test('[R14] a document that is full takes no more, but still what takes something away', async () => {
  const { server, board, me, leader } = await leaderAndWitness();
  const name = saidBy(me.participant);
  const doc = new Y.Doc();
  const writer = doc.getMap('large');
  const fill = () => {
    const before = Y.encodeStateVector(doc);
    writer.set(`${writer.size}`, 'x'.repeat(200_000));
    leader.send(syncFrame(name, SYNC.update, Y.encodeStateAsUpdate(doc, before)));
  };
  for (let part = 0; part < 10; part += 1) fill();
  await leader.settled();
  expect(leader.refusals).toEqual([]);
  const full = Y.encodeStateVector(doc);
  fill();
  await leader.settled();
  expect(leader.refusals.map(({ code }) => code)).toEqual(['too-large']);
  const again = await Peer.joined(server, board, me);
  await again.settled();
  const kept = again.family.open(name);
  expect(Y.encodeStateVector(kept)).toEqual(full);
  kept.getMap('large');
  const removed: Uint8Array[] = [];
  kept.on('update', (update: Uint8Array) => removed.push(update));
  kept.getMap('large').delete('0');
  for (const update of removed) again.send(syncFrame(name, SYNC.update, update));
  again.edit(name, (mine) => writeName(mine, 'Hazel'));
  await again.settled();
  expect(again.refusals).toEqual([]);
});

test('[R14] a message above a megabyte closes the socket before it is read', async () => {
  const { leader } = await leaderAndWitness();
  leader.send(new Uint8Array(1_200_000));
  await leader.until(() => leader.closed !== undefined);
  expect(leader.closed?.code).toBe(1009);
});

test.each([
  ['an unknown kind', new Uint8Array([77, 1, 2, 3])],
  ['authentication, which we do otherwise', new Uint8Array([KIND.auth, 0])],
  ['an unknown step', new Uint8Array([KIND.sync, 9, 0])],
  ['a message with something after its end', new Uint8Array([KIND.queryAwareness, 0])],
  ['a length beyond the end', new Uint8Array([KIND.sync, SYNC.update, 200, 1])],
  ['a word that is no JSON', new Uint8Array([KIND.word, 1, 0x7b])],
  ['a word that nobody says', new Uint8Array([KIND.word, 2, 0x7b, 0x7d])],
  ['a question with no state vector', syncFrame('lead', SYNC.step1, new Uint8Array([9]))],
])('[R16] %s is answered as unreadable, and the socket lives', async (_, bytes) => {
  const { leader } = await leaderAndWitness();
  leader.send(bytes);
  await leader.settled();
  expect(leader.refusals.map(({ code }) => code)).toEqual(['unreadable']);
});

test('[R16] text is answered as unreadable', async () => {
  const { leader } = await leaderAndWitness();
  leader.socket.send('hello');
  await leader.settled();
  expect(leader.refusals.map(({ code }) => code)).toEqual(['unreadable']);
});

test('[R16] random bytes, and good messages cut or changed, crash nothing and change nothing for who may not write', async () => {
  const { server, board, witness } = await leaderAndWitness();
  const joiner = await server.visit(board, 'join');
  const good = [large(50), new Uint8Array([0, 0]), nestedValue(3)].flatMap((update) => [
    syncFrame('lead', SYNC.update, update),
    syncFrame('house', SYNC.step2, update),
  ]);
  const damaged = fc
    .record({
      frame: fc.constantFrom(...good),
      at: fc.nat(),
      byte: fc.nat(255),
      keep: fc.nat(),
    })
    .map(({ frame, at, byte, keep }) => {
      const bytes = frame.slice(0, 1 + (keep % frame.length));
      bytes[at % bytes.length] = byte;
      return bytes;
    });
  let peer = await Peer.joined(server, board, joiner);
  await witness.settled();
  const before = await stateFor(witness);
  await fc.assert(
    fc.asyncProperty(
      fc.array(fc.oneof(fc.uint8Array({ maxLength: 40 }), damaged), { maxLength: 20 }),
      async (messages) => {
        if (peer.closed) peer = await Peer.joined(server, board, joiner);
        for (const message of messages) peer.send(message);
        await peer.settled();
      },
    ),
    { seed: 1, numRuns: 60 },
  );
  expect(await stateFor(witness)).toEqual(before);
  expect(server.reports).toEqual([]);
}, 60_000);

test('[R16] a leader who sends damaged updates changes the board or not, but never leaves it unreadable', async () => {
  const { server, board, leader, witness } = await leaderAndWitness();
  const source = new Y.Doc();
  Y.applyUpdate(source, Y.encodeStateAsUpdate(leader.family.lead));
  await fc.assert(
    fc.asyncProperty(
      fc.array(fc.tuple(fc.nat(), fc.nat(255)), { minLength: 1, maxLength: 4 }),
      fc.nat(20),
      async (damages, passes) => {
        const before = Y.encodeStateVector(source);
        writePasses(source, passes);
        const update = Y.encodeStateAsUpdate(source, before);
        for (const [at, byte] of damages) update[at % update.length] = byte;
        leader.send(syncFrame('lead', SYNC.update, update));
        leader.edit('lead', (doc) => writePasses(doc, 1 + (passes % 17)));
        await leader.settled();
        await witness.settled();
        expect((await server.host.readBoard(board.id))?.tune.parts.length).toBeGreaterThan(0);
        expect(witness.family.lead.store.pendingStructs).toBeNull();
      },
    ),
    { seed: 2, numRuns: 80 },
  );
  const fresh = await Peer.joined(server, board, await server.visit(board, 'watch'));
  expect(Y.encodeStateAsUpdate(fresh.family.lead)).toEqual(
    Y.encodeStateAsUpdate(witness.family.lead),
  );
  expect(server.reports).toEqual([]);
}, 60_000);
