import fc from 'fast-check';
import * as encoding from 'lib0/encoding';
import * as Y from 'yjs';
import type { DocumentName } from '../../shared/board/roles';
import { ballotOf, saidBy } from '../../shared/board/roles';
import { awarenessFrame, syncFrame } from '../../shared/wire/frame';
import { KIND } from '../../shared/wire/kind';
import type { Hang, Struct, Write } from './craft';
import { any, crafted, gc, item, skip } from './craft';
import type { Stage } from './stage';

/** Attacks that know the wire and the documents: made of true parts put together wrongly. */

const KEYS = ['name', 'plan', 'voting', 'plain:m1', 'm1', '__proto__', ''] as const;
const ROOTS = ['me', 'proposals', 'approvals', 'people', 'head', 'measures', 'choice', ''] as const;

/** Client ids and clocks that are in use in the real documents, and some that are not. */
function realClocks({ attacker }: Stage): readonly (readonly [number, number])[] {
  const { family } = attacker.peer;
  return family
    .names()
    .flatMap((name) => [...Y.decodeStateVector(Y.encodeStateVector(family.open(name)))]);
}

function place(it: Stage): fc.Arbitrary<readonly [number, number]> {
  const real = fc
    .constantFrom(...realClocks(it))
    .chain(([client, clock]) =>
      fc
        .constantFrom(0, 1, clock - 1, clock, clock + 1, 2 ** 31)
        .map((at) => [client, at] as const),
    );
  return fc.oneof(real, fc.tuple(fc.nat(2 ** 32 - 1), fc.nat(3)));
}

function hang(it: Stage): fc.Arbitrary<Hang> {
  const key = fc.constantFrom(...KEYS);
  return fc.oneof(
    fc.record({ root: fc.constantFrom(...ROOTS), key }),
    fc.record({ root: fc.constantFrom(...ROOTS) }),
    fc.record({ parent: place(it), key }),
    fc.record({ left: place(it) }),
    fc.record({ right: place(it) }),
  );
}

const value = fc.oneof(
  fc.string(),
  fc.double(),
  fc.constantFrom(null, true, 2 ** 60, -0),
  fc.dictionary(fc.string(), fc.nat()),
  fc.array(fc.nat(), { maxLength: 5 }),
);

const content: fc.Arbitrary<Write> = fc.oneof(
  value.map((plain) => any(plain)),
  fc.string().map(
    (text): Write =>
      (encoder) =>
        encoding.writeVarString(encoder, text),
  ),
  fc.nat(200).map(
    (number): Write =>
      (encoder) =>
        encoding.writeVarUint(encoder, number),
  ),
  fc.uint8Array({ maxLength: 12 }).map(
    (raw): Write =>
      (encoder) => {
        encoding.writeUint8Array(encoder, raw);
      },
  ),
);

function struct(it: Stage): fc.Arbitrary<Struct> {
  const write = fc.oneof(
    fc.tuple(fc.nat(15), hang(it), content).map(([ref, where, what]) => item(ref, where, what)),
    fc.nat(5).map(gc),
    fc.nat(5).map(skip),
  );
  return fc
    .tuple(place(it), write)
    .map(([[client, clock], how]): Struct => [client, Math.max(0, clock), how]);
}

function built(it: Stage): fc.Arbitrary<Uint8Array> {
  const deletion = fc
    .tuple(place(it), fc.nat(100))
    .map(([[client, clock], length]) => [client, Math.max(0, clock), length] as const);
  return fc
    .tuple(fc.array(struct(it), { maxLength: 4 }), fc.array(deletion, { maxLength: 3 }))
    .map(([structs, deletions]) => crafted(structs, deletions));
}

/** A real document's state, an own honest change, or two of them as one, then damaged or put in another encoding. */
function damaged(it: Stage): fc.Arbitrary<Uint8Array> {
  const { family } = it.attacker.peer;
  const states = family.names().map((name) => Y.encodeStateAsUpdate(family.open(name)));
  const whole = fc.oneof(
    fc.constantFrom(...states),
    fc
      .tuple(fc.constantFrom(...states), fc.constantFrom(...states))
      .map((two) => Y.mergeUpdates([...two])),
    fc.constantFrom(...states).map(Y.convertUpdateFormatV1ToV2),
  );
  const damage = fc.record({
    cut: fc.option(fc.nat(), { freq: 4 }),
    bytes: fc.array(fc.tuple(fc.nat(), fc.nat(255)), { minLength: 1, maxLength: 4 }),
  });
  return fc.tuple(whole, damage).map(([update, { cut, bytes }]) => {
    const kept = update.slice(0, cut === null ? undefined : 1 + (cut % update.length));
    for (const [at, byte] of bytes) kept[at % kept.length] = byte;
    return kept;
  });
}

function target({ attacker, victim, leader }: Stage): fc.Arbitrary<DocumentName> {
  const people = [attacker, victim, leader].map(({ me }) => me.participant);
  return fc.constantFrom<DocumentName>(
    'lead',
    'house',
    ...people.map(saidBy),
    ...people.map(ballotOf),
    'said/zzzzzzzzzzzz',
  );
}

function presence({ attacker, victim }: Stage): fc.Arbitrary<Uint8Array> {
  const state = fc.oneof(
    fc.constantFrom('null', '{}', '[]', '{', '1'),
    fc
      .constantFrom(attacker, victim)
      .map(({ me }) => JSON.stringify({ participant: me.participant })),
  );
  const entry = fc.tuple(fc.constantFrom(102, 103, 7, 8, 9), fc.nat(2 ** 32), state);
  return fc.array(entry, { maxLength: 4 }).map((entries) =>
    awarenessFrame(
      encoding.encode((encoder) => {
        encoding.writeVarUint(encoder, entries.length);
        for (const [client, clock, text] of entries) {
          encoding.writeVarUint(encoder, client);
          encoding.writeVarUint(encoder, clock);
          encoding.writeVarString(encoder, text);
        }
      }),
    ),
  );
}

const word: fc.Arbitrary<Uint8Array> = fc
  .oneof(
    fc.json(),
    fc.record({ kind: fc.string(), t1: value }).map((said) => JSON.stringify(said)),
    fc.string(),
  )
  .map((text) =>
    encoding.encode((encoder) => {
      encoding.writeVarUint(encoder, KIND.word);
      encoding.writeVarString(encoder, text);
    }),
  );

/** One to three messages of an attacker who knows the wire. */
export function attack(it: Stage): fc.Arbitrary<readonly Uint8Array[]> {
  const update = fc.oneof(built(it), damaged(it), fc.uint8Array({ maxLength: 30 }));
  const sync = fc
    .tuple(target(it), fc.constantFrom(0, 1, 2), update)
    .map(([name, step, bytes]) => syncFrame(name, step as 0 | 1 | 2, bytes));
  const message = fc.oneof(
    { weight: 8, arbitrary: sync },
    { weight: 1, arbitrary: presence(it) },
    { weight: 1, arbitrary: word },
    { weight: 1, arbitrary: fc.uint8Array({ maxLength: 40 }) },
  );
  return fc.array(message, { minLength: 1, maxLength: 3 });
}
