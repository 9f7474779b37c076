import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import * as Y from 'yjs';
import { ballotOf } from '../../shared/board/roles';
import { writeName } from '../../shared/board/write';
import { ATTACKS_BY_NAME, ownSaid, update } from '../kit/attacks';
import { madeBy } from '../kit/craft';
import { attack } from '../kit/hostile';
import { Peer } from '../kit/peers';
import { replicas, stage } from '../kit/stage';

/** How many generated attacks are made; more with PASSROUND_ATTACKS=100000. */
const ATTACKS = Number(process.env.PASSROUND_ATTACKS ?? 10_000);

describe('an attack by a student who speaks the raw protocol', () => {
  test.each(Object.entries(ATTACKS_BY_NAME))(
    '%s: refused in words, no replica changes by a byte, and honest edits go on',
    async (_, { send, told }) => {
      const it = await stage();
      const before = await replicas(it);
      for (const message of send(it)) it.attacker.peer.send(message);
      await it.attacker.peer.settled();
      expect(it.attacker.peer.refusals.map(({ code }) => code)).toEqual(told);
      for (const { words } of it.attacker.peer.refusals) expect(words).toMatch(/^[A-Z].{20,}[.]$/);
      expect(await replicas(it)).toEqual(before);
      it.attacker.peer.edit(ownSaid(it), (doc) => writeName(doc, 'Only Teasel'));
      await it.witness.peer.until(
        () =>
          it.witness.peer.sees?.people.find(({ id }) => id === it.attacker.me.participant)?.name ===
          'Only Teasel',
      );
      expect(it.server.reports).toEqual([]);
    },
  );

  test.each(Object.entries(ATTACKS_BY_NAME))(
    '%s, from a socket that only follows: the same answers, no replica changes, and who follows is told nothing',
    async (_, { send, told }) => {
      const it = await stage();
      const follower = await Peer.following(it.server, it.board, it.witness.me);
      const attacker = await Peer.following(it.server, it.board, it.attacker.me);
      const before = await replicas(it);
      for (const message of send(it)) attacker.send(message);
      await attacker.settled();
      expect(attacker.refusals.map(({ code }) => code)).toEqual(told);
      expect(await replicas(it)).toEqual(before);
      await follower.heard();
      expect(follower.plays).toHaveLength(1);
      expect(follower.frames.every(({ kind }) => kind === 'word')).toBe(true);
      expect(it.server.reports).toEqual([]);
    },
  );

  test('what is right in form but absurd in content stays in its own document and breaks nobody', async () => {
    const it = await stage();
    const absurd: readonly ((doc: Y.Doc) => void)[] = [
      (doc) => doc.getMap('me').set('name', 'x'.repeat(100_000)),
      (doc) => doc.getMap('me').set('name', { toString: 'x' }),
      (doc) => doc.getMap('me').set('name', new Y.Map()),
      (doc) => doc.getMap('proposals').set('__proto__', { measure: 'm1', strokes: [] }),
      (doc) => doc.getMap('proposals').set('x', { measure: '__proto__', strokes: [] }),
      (doc) => doc.getMap('proposals').set('y', new Y.Array()),
      (doc) => doc.getMap('proposals').set('z'.repeat(60_000), Number.NaN),
      (doc) =>
        doc.getMap('proposals').set('w', {
          measure: 'm1',
          strokes: Array.from({ length: 5_000 }, () => ({ at: 0, length: 0, by: 'rest' })),
        }),
      (doc) => doc.getText('proposals').insert(0, 'text where a map should be'),
      (doc) => doc.getArray('me').insert(0, [1, 2, 3]),
    ];
    for (const change of absurd) {
      it.attacker.peer.send(update(ownSaid(it), madeBy(change)));
      it.attacker.peer.send(update(ballotOf(it.attacker.me.participant), madeBy(change)));
    }
    await it.attacker.peer.settled();
    await it.witness.peer.settled();
    const seen = it.witness.peer.sees;
    expect(seen?.people.find(({ id }) => id === it.victim.me.participant)?.name).toBe('Alder');
    expect(seen?.approvals[it.victim.me.participant]).toEqual(['plain:m1']);
    expect(seen?.tune.parts.length).toBeGreaterThan(0);
    expect(await it.server.host.readBoard(it.board.id)).toEqual(seen);
    expect(it.server.reports).toEqual([]);
  });

  test('a document that is made of a million deletions is full before it is a burden', async () => {
    const it = await stage();
    const doc = new Y.Doc();
    const heap = () => {
      globalThis.gc?.();
      return process.memoryUsage().heapUsed;
    };
    const before = heap();
    let turns = 0;
    while (it.attacker.peer.refusals.length === 0 && turns < 500) {
      const from = Y.encodeStateVector(doc);
      doc.transact(() => {
        for (let turn = 0; turn < 2000; turn += 1) {
          const key = `${turn % 2}`;
          doc.getMap('me').set(key, turn);
          doc.getMap('me').delete(key);
        }
      });
      it.attacker.peer.send(update(ownSaid(it), Y.encodeStateAsUpdate(doc, from)));
      await it.attacker.peer.heard();
      turns += 1;
    }
    expect(it.attacker.peer.refusals.map(({ code }) => code)).toEqual(['too-large']);
    expect(heap() - before).toBeLessThan(300 * 2 ** 20);
    expect((await it.server.host.readBoard(it.board.id))?.tune.parts.length).toBeGreaterThan(0);
  }, 60_000);
});

test('generated attacks over real documents: foreign documents never change by a byte, the own one only whole, and all replicas stay equal', async () => {
  const it = await stage({ fastClock: true });
  const foreign = await replicas(it, it.attacker.me.participant);
  let attacks = 0;
  let refused = 0;
  let { peer } = it.attacker;
  await fc.assert(
    fc.asyncProperty(attack(it), async (messages) => {
      attacks += 1;
      if (peer.closed) peer = await Peer.joined(it.server, it.board, it.attacker.me);
      const told = peer.refusals.length;
      const seen = it.witness.peer.frames.length;
      for (const message of messages) peer.send(message);
      // Attacks ask for documents too, so that an answer does not tell that all was dealt with; the time does.
      await peer.heard();
      refused += peer.refusals.length > told ? 1 : 0;
      await it.witness.peer.settled();
      const others = it.witness.peer.frames
        .slice(seen, -1)
        .filter(
          (frame) =>
            frame.kind === 'sync' &&
            !frame.document.endsWith(it.attacker.me.participant) &&
            frame.document !== 'house',
        );
      expect(others).toEqual([]);
      // What was looked at is let go, so that ten thousand attacks do not cost their square.
      peer.frames.length = 0;
      it.witness.peer.frames.length = 0;
      if (attacks % 100 === 0) {
        expect(await replicas(it, it.attacker.me.participant)).toEqual(foreign);
        const mine = it.witness.peer.family.open(ownSaid(it));
        expect(mine.store.pendingStructs).toBeNull();
        expect(mine.store.pendingDs).toBeNull();
      }
    }),
    { seed: 8, numRuns: ATTACKS, endOnFailure: true },
  );
  expect(await replicas(it, it.attacker.me.participant)).toEqual(foreign);
  const fresh = await Peer.joined(it.server, it.board, await it.server.visit(it.board, 'watch'));
  await fresh.settled();
  for (const document of fresh.family.names())
    expect(Y.encodeStateAsUpdate(fresh.family.open(document)), document).toEqual(
      Y.encodeStateAsUpdate(it.witness.peer.family.open(document)),
    );
  const board = await it.server.host.readBoard(it.board.id);
  expect(board?.people.find(({ id }) => id === it.victim.me.participant)?.name).toBe('Alder');
  expect(attacks).toBe(ATTACKS);
  expect(refused).toBeGreaterThan(ATTACKS / 2);
  expect(it.server.reports).toEqual([]);
}, 600_000);
