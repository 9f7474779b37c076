import * as encoding from 'lib0/encoding';
import * as Y from 'yjs';
import type { DocumentName } from '../../shared/board/roles';
import { ballotOf, saidBy } from '../../shared/board/roles';
import { writeApproval, writeName, writePasses } from '../../shared/board/write';
import { awarenessFrame, syncFrame } from '../../shared/wire/frame';
import { KIND, SYNC } from '../../shared/wire/kind';
import type { Refusal } from '../../shared/wire/refusal';
import { any, crafted, gc, item, large, lateUpdate, madeBy, nested, rivals, skip } from './craft';
import type { Stage } from './stage';

type Code = Refusal['code'];

/** What somebody sends who means harm, and what each message is answered with. */
export interface Attack {
  /** What the attacker, who came by the join link, sends. */
  readonly send: (it: Stage) => readonly Uint8Array[];
  /** What each message is answered with; undefined where it is nothing and not answered. */
  readonly told: readonly Code[];
}

export const update = (name: string, bytes: Uint8Array) =>
  syncFrame(name as DocumentName, SYNC.update, bytes);
export const ownSaid = ({ attacker }: Stage) => saidBy(attacker.me.participant);
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

/** By name, what a student may try who speaks the raw protocol. */
export const ATTACKS_BY_NAME: Readonly<Record<string, Attack>> = {
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
  'a list, a text, and a type within a type, where only plain values stand under keys': {
    send: (it) =>
      [
        madeBy((doc) => doc.getArray('me').insert(0, [1, 2])),
        madeBy((doc) => doc.getText('me').insert(0, 'words')),
        madeBy((doc) => doc.getMap('me').set('name', new Y.Map())),
      ].map((bytes) => update(ownSaid(it), bytes)),
    told: ['unreadable', 'unreadable', 'unreadable'],
  },
  'four thousand writers of one key who all do not know of one another': own(
    rivals(4000, 'name'),
    'too-large',
  ),
  'a run of a hundred thousand values under one key, to be cut to pieces': own(
    crafted([
      [
        77,
        0,
        item(8, { root: 'me', key: 'name' }, (encoder) => {
          encoding.writeVarUint(encoder, 100_000);
          for (let value = 0; value < 100_000; value += 1) encoding.writeAny(encoder, null);
        }),
      ],
    ]),
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
        '{"kind":"play","state":{"transport":{"kind":"stopped"}}}',
        '{"__proto__":{"kind":"ask-time","t1":1}}',
        '{"kind":"ask-time","t1":1e999}',
        `{"kind":"ask-time","t1":${'['.repeat(50_000)}`,
      ].map((text) =>
        encoding.encode((encoder) => {
          encoding.writeVarUint(encoder, KIND.word);
          encoding.writeVarString(encoder, text);
        }),
      ),
    told: Array.from({ length: 8 }, () => 'unreadable' as const),
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
