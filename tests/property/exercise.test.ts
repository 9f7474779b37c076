import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import * as Y from 'yjs';
import type { BoardId, MeasureId, ParticipantId } from '../../lib/units';
import { demoDocuments } from '../../shared/board/demo';
import type { DocumentFamily } from '../../shared/board/documents';
import type { ExerciseTask } from '../../shared/board/exercise';
import {
  endOf,
  exerciseAt,
  exerciseMeasures,
  gatheredIn,
  takeBackClaim,
  writeClaim,
  writeExercise,
} from '../../shared/board/exercise';
import { readBoard } from '../../shared/board/read';
import { saidBy } from '../../shared/board/roles';
import { LEAD, SAID } from '../../shared/board/schema';
import { writeProposal } from '../../shared/board/write';

const ID = 'demo' as BoardId;
const PEOPLE = ['demowren0001', 'demofern0002', 'demojules003', 'demomoss0004'] as const;
const m = (number: number) => `m${number}` as MeasureId;
const TASK: ExerciseTask = {
  family: 'hammer-on',
  from: m(1),
  to: m(8),
  atMs: 1_000_000,
  minutes: 5,
};

const read = (documents: DocumentFamily) => {
  const board = readBoard(ID, documents);
  if (!board) throw new Error('the demo cannot be read');
  return board;
};

const said = (documents: DocumentFamily, who: number) =>
  documents.open(saidBy(PEOPLE[who] as ParticipantId));

function withTask(task = TASK): DocumentFamily {
  const documents = demoDocuments();
  writeExercise(documents.lead, task);
  return documents;
}

const claim = fc.record({
  who: fc.nat(3),
  measure: fc.integer({ min: 1, max: 4 }).map(m),
  /** Few moments, so that many are the same. */
  later: fc.nat(3),
});

describe('claims', () => {
  test('everybody sees the same owner, whatever order the claims come in: the first, and of two at once the smaller id', () => {
    fc.assert(
      fc.property(
        fc.uniqueArray(claim, { selector: ({ who, measure }) => `${who} ${measure}` }),
        fc.array(fc.nat(3), { minLength: 4, maxLength: 4 }),
        (claims, order) => {
          const home = withTask();
          const updates: { who: number; update: Uint8Array }[] = [];
          for (const [who] of PEOPLE.entries())
            said(home, who).on('update', (update: Uint8Array) => updates.push({ who, update }));
          for (const { who, measure, later } of claims)
            writeClaim(said(home, who), measure, TASK, TASK.atMs + later);
          const away = withTask();
          for (const [who] of PEOPLE.entries())
            Y.applyUpdate(said(away, who), Y.encodeStateAsUpdate(said(home, who)));
          // Each person's own words come in order, those of different people in any.
          const other = withTask();
          for (const turn of [...order, 0, 1, 2, 3])
            for (const { who, update } of updates)
              if (who === turn) Y.applyUpdate(said(other, who), update);
          const owners = read(home).exercise?.owners;
          expect(read(away).exercise?.owners).toEqual(owners);
          for (const measure of [1, 2, 3, 4].map(m)) {
            const first = claims
              .filter((one) => one.measure === measure)
              .map(({ who, later }) => [later, PEOPLE[who]] as const)
              .sort((a, b) => a[0] - b[0] || ((a[1] ?? '') < (b[1] ?? '') ? -1 : 1))[0];
            expect(owners?.[measure]).toBe(first?.[1]);
          }
        },
      ),
      { seed: 1, numRuns: 60 },
    );
  });

  test('who lets go of a measure leaves it to the next who has asked for it', () => {
    const documents = withTask();
    writeClaim(said(documents, 1), m(2), TASK, TASK.atMs + 10);
    writeClaim(said(documents, 3), m(2), TASK, TASK.atMs + 20);
    expect(read(documents).exercise?.owners).toEqual({ m2: PEOPLE[1] });
    takeBackClaim(said(documents, 1), m(2));
    expect(read(documents).exercise?.owners).toEqual({ m2: PEOPLE[3] });
  });

  test('a claim of another exercise, or from before it began, counts for nothing', () => {
    const documents = withTask();
    writeClaim(said(documents, 1), m(2), { atMs: 5 }, 10);
    said(documents, 2)
      .getMap(SAID.claims)
      .set('m3', { exercise: TASK.atMs, atMs: TASK.atMs - 1 });
    expect(read(documents).exercise?.owners).toEqual({});
    expect(read(documents).leftOut).toEqual([]);
  });

  test('claims of earlier exercises are let go with the next one, so that they never pile up', () => {
    const documents = withTask();
    writeClaim(said(documents, 1), m(2), TASK, TASK.atMs);
    const next = { ...TASK, atMs: TASK.atMs + 1 };
    writeExercise(documents.lead, next);
    writeClaim(said(documents, 1), m(3), next, next.atMs);
    expect([...said(documents, 1).getMap(SAID.claims).keys()]).toEqual(['m3']);
  });

  test.each([
    ['m1', 'mine'],
    ['m1', { exercise: 'now' }],
    ['"] *', { exercise: 1, atMs: 1 }],
  ])('what is no claim is left out and told: %s', (key, value) => {
    const documents = withTask();
    said(documents, 1).getMap(SAID.claims).set(key, value);
    expect(read(documents).exercise?.owners).toEqual({});
    expect(read(documents).leftOut.map(({ code }) => code)).toEqual(['claim']);
  });
});

describe('an exercise', () => {
  test('it is set, read back and put away', () => {
    const documents = withTask();
    expect(read(documents).exercise).toEqual({ ...TASK, owners: {} });
    writeExercise(documents.lead, undefined);
    expect(read(documents).exercise).toBeUndefined();
  });

  test.each([
    [{ ...TASK, family: 'yodel' }],
    [{ ...TASK, minutes: 0 }],
    [{ ...TASK, minutes: 61 }],
    [{ ...TASK, from: '"] *' }],
    ['hammer-ons'],
  ])('what is none is left out and told: %j', (value) => {
    const documents = demoDocuments();
    documents.lead.getMap(LEAD.exercise).set('now', value);
    expect(read(documents).exercise).toBeUndefined();
    expect(read(documents).leftOut.map(({ code }) => code)).toEqual(['exercise']);
  });

  test('two leaders who set one at the same moment end in one of theirs, whole, at both', () => {
    const [a, b] = [demoDocuments(), demoDocuments()];
    Y.applyUpdate(b.lead, Y.encodeStateAsUpdate(a.lead));
    const other: ExerciseTask = { ...TASK, family: 'slide', from: m(9), to: m(12), minutes: 2 };
    writeExercise(a.lead, TASK);
    writeExercise(b.lead, other);
    Y.applyUpdate(b.lead, Y.encodeStateAsUpdate(a.lead));
    Y.applyUpdate(a.lead, Y.encodeStateAsUpdate(b.lead));
    expect(read(a).exercise).toEqual(read(b).exercise);
    expect([TASK, other].map((task) => ({ ...task, owners: {} }))).toContainEqual(read(a).exercise);
  });

  test.each([
    [1, 8, 8],
    [8, 1, 8],
    [7, 10, 4],
    [3, 3, 1],
    [3, 99, 0],
  ])('from measure %i to %i there are %i measures, as they stand on paper', (from, to, count) =>
    expect(exerciseMeasures(read(demoDocuments()).tune, { from: m(from), to: m(to) })).toHaveLength(
      count,
    ),
  );

  test('only what is put forward in its measures while it lasts is gathered, from everybody together', () => {
    const documents = withTask();
    const { tune, variants } = read(documents);
    const [strokes] = variants.map((variant) => variant.strokes);
    if (!strokes) throw new Error('the demo has no variant');
    const propose = (who: number, measure: MeasureId, nowMs: number) => {
      const exercise = exerciseAt(tune, read(documents).exercise, measure, nowMs);
      const author = PEOPLE[who] as ParticipantId;
      return writeProposal(said(documents, who), author, { measure, strokes, note: '', exercise });
    };
    const inTime = propose(1, m(5), TASK.atMs + 1);
    const lastMoment = propose(2, m(6), endOf(TASK) - 1);
    propose(1, m(6), endOf(TASK));
    propose(3, m(12), TASK.atMs + 1);
    const gathered = gatheredIn(read(documents).variants, TASK).map(({ id }) => id);
    expect(new Set(gathered)).toEqual(new Set([inTime, lastMoment]));
    expect(read(documents).leftOut).toEqual([]);
  });
});
