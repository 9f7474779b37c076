import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import * as Y from 'yjs';
import { madePasses } from '../../app/_islands/passes/made';
import type { BoardId, ParticipantId, VariantId } from '../../lib/units';
import { demoDocuments } from '../../shared/board/demo';
import { DocumentFamily } from '../../shared/board/documents';
import { readBoard } from '../../shared/board/read';
import { forgetInLead } from '../../shared/board/removal';
import { ballotOf, saidBy } from '../../shared/board/roles';
import { countedAs, samePeople, writeSame } from '../../shared/board/same';
import type { BallotId, Board } from '../../shared/board/schema';
import { LEAD, SAME_PREFIX } from '../../shared/board/schema';
import { tallyOf, votersOf } from '../../shared/board/tally';
import {
  writeApproval,
  writeArrivals,
  writeName,
  writePerson,
  writeProposal,
} from '../../shared/board/write';
import { planResult } from '../kit/plan';

const ID = 'board' as BoardId;
const PEOPLE = Array.from({ length: 8 }, (_, at) => `person${at}00000` as ParticipantId);
const BALLOTS: readonly BallotId[] = ['plain:m1', 'plain:m2', 'plain:m3', 'plain:m4'];
const person = fc.constantFrom(...PEOPLE);
/** Who is said to be whom, in the order in which it was said. */
const sayings = fc.array(fc.tuple(person, person), { maxLength: 14 });
const ballots = fc.array(fc.tuple(person, fc.constantFrom(...BALLOTS)), { maxLength: 40 });

const demo = demoDocuments();
const MEASURE = readBoard(ID, demo)?.tune.parts[0]?.measures[0];

/** The demo's tune with people of our own, each with a name, a variant of the first measure, and votes. */
function boardOf(votes: readonly (readonly [ParticipantId, BallotId])[]): DocumentFamily {
  const family = new DocumentFamily();
  Y.applyUpdate(family.lead, Y.encodeStateAsUpdate(demo.lead));
  if (!MEASURE) throw new RangeError('the demo has no measures');
  const arrived: VariantId[] = [];
  for (const [at, id] of PEOPLE.entries()) {
    writePerson(family.house, id, at === 3 ? 'lead' : 'join');
    writeName(family.open(saidBy(id)), at === 5 ? '' : `Person ${at}`);
    const strokes = MEASURE.strokes.slice(at % 4);
    const proposal = { measure: MEASURE.id, strokes, note: '' };
    arrived.push(writeProposal(family.open(saidBy(id)), id, proposal));
  }
  writeArrivals(family.house, arrived);
  for (const [id, ballot] of votes) writeApproval(family.open(ballotOf(id)), ballot, true);
  return family;
}

function read(family: DocumentFamily): Board {
  const board = readBoard(ID, family);
  if (!board) throw new RangeError('the board cannot be read');
  return board;
}

function say(family: DocumentFamily, pairs: readonly (readonly [ParticipantId, ParticipantId])[]) {
  for (const [id, as] of pairs) writeSame(family.lead, id, as);
}

const leadWith = (pairs: readonly (readonly [string, unknown])[]) => {
  const lead = new Y.Doc();
  for (const [id, as] of pairs) lead.getMap(LEAD.choice).set(SAME_PREFIX + id, as);
  return lead;
};

describe('whom people are counted as', () => {
  const [a, b, c, d] = PEOPLE;
  const gone = 'gone00000000';
  test.each<[string, readonly (readonly [string, unknown])[], Readonly<Record<string, string>>]>([
    ['nobody said anything', [], {}],
    ['one pair', [[`${b}`, a]], { [`${b}`]: `${a}` }],
    [
      'a chain leads to its end',
      [
        [`${a}`, b],
        [`${b}`, c],
        [`${c}`, d],
      ],
      { [`${a}`]: `${d}`, [`${b}`]: `${d}`, [`${c}`]: `${d}` },
    ],
    [
      'each said to be the other: the least id',
      [
        [`${a}`, b],
        [`${b}`, a],
      ],
      { [`${b}`]: `${a}` },
    ],
    [
      'a circle of three with a tail: the least id of the circle',
      [
        [`${a}`, c],
        [`${c}`, d],
        [`${d}`, b],
        [`${b}`, c],
      ],
      { [`${a}`]: `${b}`, [`${c}`]: `${b}`, [`${d}`]: `${b}` },
    ],
    ['themselves', [[`${a}`, a]], {}],
    [
      'somebody who is not there says nothing',
      [
        [`${a}`, gone],
        [gone, b],
      ],
      {},
    ],
    [
      'a chain through somebody who is not there ends before them',
      [
        [`${a}`, b],
        [`${b}`, gone],
        [gone, c],
      ],
      { [`${a}`]: `${b}` },
    ],
    [
      'what is no id says nothing',
      [
        [`${a}`, 7],
        ['__proto__', a],
        [`${b}`, 'x'],
        [`${c}`, { id: a }],
      ],
      {},
    ],
  ])('%s', (_, pairs, expected) => {
    expect(Object.fromEntries(samePeople(leadWith(pairs), new Set(PEOPLE)))).toEqual(expected);
  });

  test('it does not matter in which order it stands, and everybody ends at somebody who is themselves', () => {
    fc.assert(
      fc.property(sayings, fc.infiniteStream(fc.nat()), (pairs, order) => {
        const last = [...new Map(pairs)];
        const people = new Set(PEOPLE);
        const counted = samePeople(leadWith(last), people);
        const shuffled = last
          .map((pair) => ({ pair, at: order.next().value ?? 0 }))
          .sort((x, y) => x.at - y.at)
          .map(({ pair }) => pair);
        const sorted = (map: ReadonlyMap<string, string>) => [...map].sort();
        expect(sorted(samePeople(leadWith(shuffled), people))).toEqual(sorted(counted));
        for (const [id, root] of counted) {
          expect(id).not.toBe(root);
          expect(counted.has(root)).toBe(false);
        }
        // Who is said to be somebody is counted as one with them.
        const rootOf = (id: ParticipantId) => counted.get(id) ?? id;
        for (const [id, as] of last) expect(rootOf(id)).toBe(rootOf(as));
      }),
      { seed: 8, numRuns: 300 },
    );
  });
});

describe('a board with people who are counted as one', () => {
  test('each voice counts once, nobody’s vote is lost, and variants go to one name', () => {
    fc.assert(
      fc.property(sayings, ballots, (pairs, votes) => {
        const family = boardOf(votes);
        const before = read(family);
        say(family, pairs);
        const after = read(family);
        const rootOf = (id: ParticipantId) => countedAs(after, id);
        const wants = (root: ParticipantId) =>
          PEOPLE.filter((id) => rootOf(id) === root).flatMap((id) => before.approvals[id] ?? []);
        for (const id of PEOPLE)
          expect(after.approvals[id] ?? []).toEqual(
            rootOf(id) === id ? [...new Set(wants(id))].sort() : [],
          );
        const voices = new Set(PEOPLE.map(rootOf)).size;
        expect(votersOf(after).length).toBeLessThanOrEqual(voices);
        for (const count of tallyOf(after).values()) expect(count).toBeLessThanOrEqual(voices);
        expect(after.variants.map(({ author }) => author)).toEqual(
          before.variants.map(({ author }) => rootOf(author)),
        );
        expect(after.variants.map(({ id }) => id)).toEqual(before.variants.map(({ id }) => id));
        for (const { id, name, role } of after.people) {
          const root = after.people.find((one) => one.id === rootOf(id));
          expect([name, role]).toEqual([root?.name, root?.role]);
        }
        expect(JSON.stringify(after.leftOut)).toBe(JSON.stringify(before.leftOut));
      }),
      { seed: 8, numRuns: 150 },
    );
  });

  test('taken back, in whatever order, it is as it was', () => {
    fc.assert(
      fc.property(
        sayings,
        ballots,
        fc.shuffledSubarray([...PEOPLE], { minLength: 8 }),
        (pairs, votes, order) => {
          const family = boardOf(votes);
          const before = read(family);
          say(family, pairs);
          for (const id of order) writeSame(family.lead, id, undefined);
          expect(read(family)).toEqual(before);
        },
      ),
      { seed: 8, numRuns: 60 },
    );
  });

  test('the election has one ballot for them, and shares of what is heard are told for one person', () => {
    const [a, b, c] = PEOPLE;
    if (!a || !b || !c) throw new RangeError('there are people');
    const family = boardOf([
      [a, 'plain:m1'],
      [b, 'plain:m1'],
      [b, 'plain:m2'],
      [c, 'plain:m3'],
    ]);
    const heard = (board: Board) => {
      const made = planResult(board);
      if (!made.ok) throw new RangeError('there is a plan');
      return madePasses(board, made.value).heard.map(({ person, approved }) => [person, approved]);
    };
    expect(heard(read(family)).map(([id]) => id)).toEqual([a, b, c]);
    say(family, [[b, a]]);
    const board = read(family);
    const one = planResult(board);
    if (!one.ok) throw new RangeError('there is a plan');
    expect(votersOf(board)).toEqual([a, c]);
    expect(heard(board).map(([id]) => id)).toEqual([a, c]);
    for (const { ballots: each } of one.value.request.measures) expect(each).toHaveLength(2);
    expect(one.value.request.measures.find(({ id }) => id === 'm1')?.ballots[0]).toEqual(['plain']);
    expect(board.apart).toEqual({ [a]: ['plain:m1'], [b]: ['plain:m1', 'plain:m2'] });
  });

  test('who is taken out leaves no trace in whom others are counted as, and the others are themselves again', () => {
    const [a, b, c] = PEOPLE;
    if (!a || !b || !c) throw new RangeError('there are people');
    const family = boardOf([]);
    say(family, [
      [a, b],
      [b, c],
    ]);
    forgetInLead(family.lead, new Set([b]));
    const keys = [...family.lead.getMap(LEAD.choice).keys()];
    expect(keys.filter((key) => key.startsWith(SAME_PREFIX))).toEqual([]);
    expect(read(family).people.filter(({ counted }) => counted)).toEqual([]);
  });
});
