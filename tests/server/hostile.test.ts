import fc from 'fast-check';
import * as encoding from 'lib0/encoding';
import { describe, expect, test } from 'vitest';
import * as Y from 'yjs';
import type { DocumentName } from '../../shared/board/roles';
import { ballotOf, saidBy } from '../../shared/board/roles';
import { writeApproval, writeName, writePasses } from '../../shared/board/write';
import { awarenessFrame, syncFrame } from '../../shared/wire/frame';
import { KIND, SYNC } from '../../shared/wire/kind';
import type { Refusal } from '../../shared/wire/refusal';
import { any, crafted, gc, item, large, lateUpdate, madeBy, nested, skip } from '../kit/craft';
import { attack } from '../kit/hostile';
import { Peer } from '../kit/peers';
import type { Stage } from '../kit/stage';
import { replicas, stage } from '../kit/stage';

/** How many generated attacks are made: some in the normal run, ten thousand with PASSROUND_ATTACKS=10000. */
const ATTACKS = Number(process.env.PASSROUND_ATTACKS ?? 1500);

type Code = Refusal['code'];

interface Attack {
  /** What the attacker, who came by the join link, sends. */
  readonly send: (it: Stage) => readonly Uint8Array[];
  /** What each message is answered with; undefined where it is nothing and not answered. */
  readonly told: readonly Code[];
}

const update = (name: string, bytes: Uint8Array) =>
  syncFrame(name as DocumentName, SYNC.update, bytes);
const ownSaid = ({ attacker }: Stage) => saidBy(attacker.me.participant);
const theirSaid = ({ victim }: Stage) => saidBy(victim.me.participant);
const theirBallot = ({ victim }: Stage) => ballotOf(victim.me.participant);
const name = (text: string) => madeBy((doc) => writeName(doc, text));
const own = (bytes: Uint8Array | ((it: Stage) => Uint8Array), told: Code): Attack => ({
  send: (it) => [update(ownSaid(it), typeof bytes === 'function' ? bytes(it) : bytes)],
  told: [told],
});

const presence = (
  ...states: readonly (readonly [client: number, clock: number, text: string])[]
): Uint8Array =>
  awarenessFrame(
    encoding.encode((encoder) => {
      encoding.writeVarUint(encoder, states.length);
      for (const [client, clock, text] of states) {
        encoding.writeVarUint(encoder, client);
        encoding.writeVarUint(encoder, clock);
        encoding.writeVarString(encoder, text);
      }
    }),
  );

/** Names that are no document's, made to look like one or like something of the language or the disk. */
const CONFUSING = [
  '',
  ' ',
  'LEAD',
  'lead/',
  '/lead',
  'said/../lead',
  'said//abcdefghijkl',
  'said/abcdefghijkl/',
  'said/ABCDEFGHIJKL',
  'said/abcdefghijk\u0131',
  'said/abcdefghijkl\n',
  'said/abcdefghijkl\0',
  'ballot',
  'ballot/',
  '__proto__',
  'constructor',
  'toString',
  "house'; DROP TABLE updates; --",
  '../../etc/passwd',
  'x'.repeat(100_000),
] as const;

const ATTACKS_BY_NAME: Readonly<Record<string, Attack>> = {
  "an update for another's said": {
    send: (it) => [update(theirSaid(it), name('Mallow'))],
    told: ['not-yours'],
  },
  "an update for another's ballot": {
    send: (it) => [
      update(
        theirBallot(it),
        madeBy((doc) => writeApproval(doc, 'plain:m2', true)),
      ),
    ],
    told: ['not-yours'],
  },
  'a deletion of what another approved': {
    send: (it) => {
      const copy = new Y.Doc();
      Y.applyUpdate(copy, Y.encodeStateAsUpdate(it.attacker.peer.family.open(theirBallot(it))));
      const before = Y.encodeStateVector(copy);
      writeApproval(copy, 'plain:m1', false);
      return [update(theirBallot(it), Y.encodeStateAsUpdate(copy, before))];
    },
    told: ['not-yours'],
  },
  'an update for lead by a student': {
    send: () => [
      update(
        'lead',
        madeBy((doc) => writePasses(doc, 2)),
      ),
    ],
    told: ['not-yours'],
  },
  'an update for the house': { send: () => [update('house', name('x'))], told: ['not-yours'] },
  'an answer (sync step 2) to a question that was never asked, for lead, house and another': {
    send: (it) =>
      ['lead', 'house', theirSaid(it)].map((document) =>
        syncFrame(document as DocumentName, SYNC.step2, name('Mallow')),
      ),
    told: ['not-yours', 'not-yours', 'not-yours'],
  },
  'the lead document in the form of the others': {
    send: () => [
      encoding.encode((encoder) => {
        encoding.writeVarUint(encoder, KIND.document);
        encoding.writeVarString(encoder, 'lead');
        encoding.writeVarUint(encoder, SYNC.update);
        encoding.writeVarUint8Array(encoder, name('Mallow'));
      }),
    ],
    told: ['not-yours'],
  },
  'names made to confuse': {
    send: () => CONFUSING.map((document) => update(document, name('x'))),
    told: CONFUSING.map(() => 'no-such-document'),
  },
  'questions for names made to confuse': {
    send: () =>
      CONFUSING.map((document) =>
        syncFrame(document as DocumentName, SYNC.step1, new Uint8Array([0])),
      ),
    told: CONFUSING.map(() => 'no-such-document'),
  },
  'a said of somebody who was never here': {
    send: () => [update('said/zzzzzzzzzzzz', name('Ghost'))],
    told: ['no-such-document'],
  },
  "another's whole document, sent to lead and house": {
    send: ({ attacker, victim }) => {
      const foreign = Y.encodeStateAsUpdate(
        attacker.peer.family.open(saidBy(victim.me.participant)),
      );
      return [update('lead', foreign), update('house', foreign)];
    },
    told: ['not-yours', 'not-yours'],
  },
  'a gap in the clock': own(
    lateUpdate(
      (doc) => writeName(doc, 'a'),
      (doc) => writeName(doc, 'b'),
    ),
    'incomplete',
  ),
  "a struct that stands on another document's struct": own(({ attacker }) => {
    const lead = Y.decodeStateVector(Y.encodeStateVector(attacker.peer.family.lead));
    const [client = 1] = lead.keys();
    return crafted([[77, 0, item(8, { left: [client, 0] }, any(1))]]);
  }, 'incomplete'),
  'a skip': own(crafted([[77, 0, skip(3)]]), 'incomplete'),
  'a skip and then a start': own(
    crafted([
      [77, 0, skip(3)],
      [77, 3, gc(1)],
    ]),
    'incomplete',
  ),
  'a deletion of what is to come': own(crafted([], [[77, 5, 100]]), 'incomplete'),
  'a deletion of a whole clock': own(crafted([], [[77, 0, 2 ** 50]]), 'incomplete'),
  'encoding V2': own(Y.convertUpdateFormatV1ToV2(large(100)), 'unreadable'),
  'millions of structs claimed': own(
    new Uint8Array([1, 0x80, 0x87, 0xa7, 0x0e, 1, 0]),
    'unreadable',
  ),
  'millions of clients claimed': own(new Uint8Array([0x80, 0x87, 0xa7, 0x0e, 1]), 'unreadable'),
  'millions of deletions claimed': own(
    new Uint8Array([0, 1, 77, 0x80, 0x87, 0xa7, 0x0e, 0, 1]),
    'unreadable',
  ),
  'three thousand nested types': own(nested(3000), 'unreadable'),
  'a plain value nested ten thousand deep': own(
    crafted([
      [
        77,
        0,
        item(8, { root: 'me', key: 'name' }, (encoder) => {
          encoding.writeVarUint(encoder, 1);
          for (let level = 0; level < 10_000; level += 1) {
            encoding.writeUint8(encoder, 117); // an array of one
            encoding.writeVarUint(encoder, 1);
          }
          encoding.writeUint8(encoder, 126);
        }),
      ],
    ]),
    'unreadable',
  ),
  'a document within a document': own(
    madeBy((doc) => doc.getMap('me').set('in', new Y.Doc())),
    'unreadable',
  ),
  'a content that no version of Yjs has': own(
    crafted([[77, 0, item(15, { root: 'me' }, any(1))]]),
    'unreadable',
  ),
  'a type of a kind that does not exist': own(
    crafted([
      [
        77,
        0,
        item(7, { root: 'me', key: 'name' }, (encoder) => encoding.writeVarUint(encoder, 99)),
      ],
    ]),
    'unreadable',
  ),
  'a clock beyond what numbers hold': own(crafted([[77, 0, gc(2 ** 52)]]), 'unreadable'),
  'half an update': own(large(100).slice(0, 60), 'unreadable'),
  'an update and then rubbish that is taken for a second one': own(
    new Uint8Array([0, 0, 1, 1, 77, 0, 0, 1]),
    'unreadable',
  ),
  'a message of 300 kB': own(large(300_000), 'too-large'),
  'message kinds that nobody knows': {
    send: () => [4, 5, 99, 102, 127].map((kind) => new Uint8Array([kind, 1, 2, 3])),
    told: Array.from({ length: 5 }, () => 'unreadable' as const),
  },
  'a message kind beyond all numbers': {
    send: () => [new Uint8Array(12).fill(255)],
    told: ['unreadable'],
  },
  'an empty message': { send: () => [new Uint8Array()], told: ['unreadable'] },
  'words that are not ours, also with keys of the language': {
    send: () =>
      [
        'null',
        '[]',
        '"ask-time"',
        '{"kind":"welcome","version":1}',
        '{"__proto__":{"kind":"ask-time","t1":1}}',
        '{"kind":"ask-time","t1":1e999}',
        `{"kind":"ask-time","t1":${'['.repeat(50_000)}`,
      ].map((text) =>
        encoding.encode((encoder) => {
          encoding.writeVarUint(encoder, KIND.word);
          encoding.writeVarString(encoder, text);
        }),
      ),
    told: Array.from({ length: 7 }, () => 'unreadable' as const),
  },
  'a presence that ends another': {
    send: ({ victim }) => [presence([victim.client, 99, 'null'])],
    told: [],
  },
  'a presence that speaks for another': {
    send: ({ victim }) => [
      presence([victim.client, 99, `{"participant":"${victim.me.participant}","measure":"m5"}`]),
      presence([4711, 1, `{"participant":"${victim.me.participant}"}`]),
    ],
    told: [],
  },
  'a presence that never ends, with the largest clock': {
    send: ({ attacker }) => [
      presence([4711, 2 ** 52, `{"participant":"${attacker.me.participant}"}`]),
    ],
    told: ['unreadable'],
  },
  'a thousand presences': {
    send: ({ attacker }) => [
      presence(
        ...Array.from({ length: 1000 }, (_, client): readonly [number, number, string] => [
          client + 5000,
          1,
          `{"participant":"${attacker.me.participant}"}`,
        ]),
      ),
    ],
    told: ['not-yours'],
  },
  'a presence that is no JSON, of the wrong shape, or cut': {
    send: () => [
      presence([4711, 1, '{']),
      presence([4711, 1, '{"participant":["abcdefghijkl"]}']),
      awarenessFrame(new Uint8Array([9, 1])),
    ],
    told: ['unreadable', 'unreadable', 'unreadable'],
  },
};

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
