import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import * as Y from 'yjs';
import { MODES } from '../../lib/harmony';
import { METER_NAMES, meterNamed } from '../../lib/rhythm';
import type { Part, PlainMeasure, Tune } from '../../lib/tune';
import { playOrder } from '../../lib/tune';
import { neckOf, TUNINGS } from '../../lib/tuning';
import type { BoardId, MeasureId, ParticipantId } from '../../lib/units';
import { demoDocuments } from '../../shared/board/demo';
import { DocumentFamily } from '../../shared/board/documents';
import { readBoard } from '../../shared/board/read';
import type { DocumentName } from '../../shared/board/roles';
import { ballotOf, saidBy } from '../../shared/board/roles';
import { BALLOT, HOUSE, LEAD, SAID } from '../../shared/board/schema';
import {
  writeAgreed,
  writeName,
  writePerson,
  writeProposal,
  writeTune,
} from '../../shared/board/write';
import { anyMeasure } from '../kit/measures';
import { planOf, planResult } from '../kit/plan';

const ID = 'board' as BoardId;
const SOMEBODY = 'abcdefghijkl' as ParticipantId;

const demo = demoDocuments();
const DEMO = demo.names().map((name) => [name, Y.encodeStateAsUpdate(demo.open(name))] as const);

/** A good board of its own. */
function aBoard(): DocumentFamily {
  const family = new DocumentFamily();
  for (const [name, state] of DEMO) Y.applyUpdate(family.open(name), state);
  return family;
}

/** Anything that a shared map can hold, shared types included. */
const anything: fc.Arbitrary<() => unknown> = fc.oneof(
  fc
    .anything({
      withBigInt: false,
      withDate: false,
      withMap: false,
      withSet: false,
      withSparseArray: false,
      withTypedArray: false,
      withObjectString: true,
      withNullPrototype: false,
    })
    .map((value) => () => structuredClone(value)),
  fc.uint8Array().map((value) => () => value.slice()),
  fc.constantFrom(
    () => new Y.Map([['kind', 'playing']]),
    () => new Y.Array(),
    () => new Y.Text('tune'),
  ),
);

const MAPS: readonly (readonly [DocumentName, string, readonly string[]])[] = [
  ['lead', LEAD.head, ['title', 'tuning', 'capo', 'drone', 'meter', 'key', 'tempo', 'form']],
  ['lead', LEAD.measures, ['m1', 'm2', '__proto__', 'constructor']],
  [
    'lead',
    LEAD.choice,
    ['passes', 'voting', 'plan', 'over/m1', 'over/', 'over/__proto__', 'aside/m1', 'aside/m2'],
  ],
  ['lead', LEAD.transport, ['now', 'pointer', 'played/0123456789abcdef']],
  ['lead', LEAD.exercise, ['now']],
  ['house', HOUSE.people, [SOMEBODY, 'demofern0002', '__proto__']],
  ['house', HOUSE.arrived, [`${SOMEBODY}.0123456789abcdef`]],
  [saidBy(SOMEBODY), SAID.me, ['name']],
  [saidBy(SOMEBODY), SAID.proposals, [`${SOMEBODY}.0123456789abcdef`, '']],
  [saidBy(SOMEBODY), SAID.claims, ['m1', '', '__proto__']],
  [ballotOf(SOMEBODY), BALLOT.approvals, ['plain:m1', 'plain:', '__proto__']],
];

interface Litter {
  readonly map: (typeof MAPS)[number];
  readonly key: string;
  readonly value: () => unknown;
}

const litter: fc.Arbitrary<Litter> = fc.constantFrom(...MAPS).chain((map) =>
  fc.record({
    map: fc.constant(map),
    key: fc.oneof({ weight: 3, arbitrary: fc.constantFrom(...map[2]) }, fc.string()),
    value: anything,
  }),
);

function drop(family: DocumentFamily, { map: [document, name], key, value }: Litter): void {
  family.open(document).getMap(name).set(key, value());
}

describe('what a board holds is foreign', () => {
  test('whatever stands in its documents, reading and planning never throw', () => {
    fc.assert(
      fc.property(fc.array(litter, { maxLength: 30 }), fc.boolean(), (pieces, good) => {
        const family = good ? aBoard() : new DocumentFamily();
        for (const piece of pieces) drop(family, piece);
        const board = readBoard(ID, family);
        if (!board) return;
        planResult(board);
        for (const { words } of board.leftOut) expect(words.length).toBeGreaterThan(10);
        expect(() => JSON.stringify(board)).not.toThrow();
      }),
      { seed: 1, numRuns: 300 },
    );
  });

  test('beside whatever somebody says, the others and the tune stay whole', () => {
    const clean = readBoard(ID, aBoard());
    const theirs = litter.filter(({ map: [document] }) => document.includes(SOMEBODY));
    fc.assert(
      fc.property(fc.array(theirs, { maxLength: 30 }), (pieces) => {
        const family = aBoard();
        for (const piece of pieces) drop(family, piece);
        const board = readBoard(ID, family);
        const { [SOMEBODY]: _, ...approvals } = board?.approvals ?? {};
        expect(board?.tune).toEqual(clean?.tune);
        expect(board?.people).toEqual(clean?.people);
        expect(board?.plan).toEqual(clean?.plan);
        expect(board?.variants.filter(({ author }) => author !== SOMEBODY)).toEqual(
          clean?.variants,
        );
        expect(approvals).toEqual(clean?.approvals);
      }),
      { seed: 2, numRuns: 300 },
    );
  });

  test('a measure that cannot be read is left out and named, and the others stay', () => {
    const family = aBoard();
    const before = readBoard(ID, family);
    family.lead.getMap(LEAD.measures).set('m3', { strokes: 'none' });
    const after = readBoard(ID, family);
    expect(after?.leftOut.map(({ code, where }) => ({ code, where }))).toEqual([
      { code: 'measure', where: { document: 'lead', key: 'm3' } },
    ]);
    const ids = (parts: readonly Part[] = []) =>
      parts.flatMap(({ measures }) => measures.map(({ id }) => id));
    expect(ids(after?.tune.parts)).toEqual(ids(before?.tune.parts).filter((id) => id !== 'm3'));
  });

  test('a proposal whose name is not that of its strokes is left out: a vote is for these strokes alone', () => {
    const family = aBoard();
    const [variant] = readBoard(ID, family)?.variants ?? [];
    if (!variant) throw new Error('the demo has variants');
    const { measure, strokes } = variant;
    family
      .open(saidBy(variant.author))
      .getMap(SAID.proposals)
      .set(variant.id, { measure, strokes: strokes.slice(1), note: '' });
    const after = readBoard(ID, family);
    expect(after?.variants.map(({ id }) => id)).not.toContain(variant.id);
    expect(after?.leftOut.map(({ code }) => code)).toEqual(['proposal']);
  });
});

const plainMeasure: fc.Arbitrary<Omit<PlainMeasure, 'id'>> = anyMeasure.chain((measure) =>
  fc.record(
    {
      startsAt: fc.constant(measure.startsAt),
      ticks: fc.constant(Math.min(1920, Math.max(1, measure.ticks))),
      strokes: fc.constant(
        measure.strokes.filter(
          ({ at, length }) => Number.isInteger(at) && Number.isInteger(length),
        ),
      ),
      melody: fc.array(fc.nat(1920), { maxLength: 6 }),
      chord: fc.constantFrom('G', 'D7', 'Am', 'Bb'),
      endings: fc.constantFrom([1], [2], [1, 3]),
    },
    { requiredKeys: ['startsAt', 'ticks', 'strokes', 'melody'], noNullPrototype: true },
  ),
);

const anyTune: fc.Arbitrary<Tune> = fc
  .record({
    title: fc.string({ maxLength: 60 }),
    neck: fc
      .tuple(fc.constantFrom(...TUNINGS), fc.nat(7))
      .map(([tuning, capo]) => neckOf(tuning, capo)),
    meter: fc.constantFrom(...METER_NAMES).map(meterNamed),
    key: fc.record(
      { tonic: fc.constantFrom('G', 'D', 'F#', 'Bb'), mode: fc.constantFrom(...MODES) },
      { noNullPrototype: true },
    ),
    tempo: fc.integer({ min: 20, max: 240 }),
    parts: fc.array(fc.array(plainMeasure, { minLength: 1, maxLength: 4 }), {
      minLength: 1,
      maxLength: 4,
    }),
    turns: fc.array(fc.nat(3), { minLength: 1, maxLength: 8 }),
  })
  .map(({ parts, turns, ...head }) => {
    let count = 0;
    const lettered = parts.map(
      (measures, index): Part => ({
        letter: 'ABCD'[index] ?? 'A',
        measures: measures.map((measure) => {
          count += 1;
          return { id: `m${count}` as MeasureId, ...measure };
        }),
      }),
    );
    const form = turns.map((turn) => lettered[turn % lettered.length]?.letter ?? 'A');
    return { ...head, parts: lettered, form };
  });

describe('what is written is read', () => {
  test('a tune comes back the same, also from another copy of the documents', () => {
    fc.assert(
      fc.property(anyTune, (tune) => {
        const family = new DocumentFamily();
        writeTune(family.lead, tune);
        const copy = new DocumentFamily();
        Y.applyUpdate(copy.lead, Y.encodeStateAsUpdate(family.lead));
        expect(readBoard(ID, copy)).toMatchObject({ tune, leftOut: [] });
        expect(readBoard(ID, copy)?.tune).toEqual(tune);
      }),
      { seed: 3, numRuns: 200 },
    );
  });

  test('a proposal and the plan made with it come back the same', () => {
    fc.assert(
      fc.property(anyTune, fc.string({ maxLength: 100 }), (tune, note) => {
        const family = new DocumentFamily();
        writeTune(family.lead, tune);
        const [first] = tune.parts[0]?.measures ?? [];
        if (!first) throw new Error('a tune has a measure');
        writePerson(family.house, SOMEBODY, 'join');
        const said = family.open(saidBy(SOMEBODY));
        writeName(said, 'Ivy');
        const id = writeProposal(said, SOMEBODY, {
          measure: first.id,
          strokes: first.strokes,
          note,
        });
        const board = readBoard(ID, family);
        if (!board) throw new Error('no board');
        expect(board.variants).toMatchObject([
          { id, author: SOMEBODY, measure: first.id, strokes: first.strokes, note: note.trim() },
        ]);
        fc.pre(playOrder(tune).length > 0);
        const plan = planOf(board);
        writeAgreed(family.lead, plan);
        const agreed = readBoard(ID, family);
        expect(agreed?.plan).toEqual(plan);
        expect(agreed?.voting).toBe('agreed');
        expect(agreed?.leftOut).toEqual([]);
      }),
      { seed: 5, numRuns: 100 },
    );
  });
});
