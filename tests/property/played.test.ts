import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import * as Y from 'yjs';
import { startedAt, withFootUp } from '../../lib/transport/change';
import { timelineOf } from '../../lib/tune';
import type { BoardId, ParticipantId } from '../../lib/units';
import { demoDocuments } from '../../shared/board/demo';
import type { DocumentFamily } from '../../shared/board/documents';
import {
  nameOfPlayed,
  passOf,
  playedOn,
  roundTheCircle,
  stageOf,
  writeStart,
} from '../../shared/board/played';
import { readBoard } from '../../shared/board/read';
import { forgetInLead } from '../../shared/board/removal';
import { LEAD } from '../../shared/board/schema';
import { writeAgreed, writePlain, writeTransport } from '../../shared/board/write';
import { planOf } from '../kit/plan';

const ID = 'demo' as BoardId;
const [WREN, FERN, JULES, MOSS] = ['wren0001', 'fern0002', 'jules003', 'moss0004'].map(
  (id) => `demo${id}` as ParticipantId,
) as [ParticipantId, ParticipantId, ParticipantId, ParticipantId];
const NAMES: Readonly<Record<string, string>> = {
  [WREN]: 'Wren',
  [FERN]: 'Fern',
  [JULES]: 'Jules',
  [MOSS]: 'Moss',
};
const asPeople = (ids: readonly ParticipantId[]) =>
  ids.map((id) => ({ id, name: NAMES[id] ?? '' }));

const read = (documents: DocumentFamily) => {
  const board = readBoard(ID, documents);
  if (!board) throw new Error('the demo cannot be read');
  return board;
};

function copyOf(documents: DocumentFamily): DocumentFamily {
  const copy = demoDocuments();
  const into = new Y.Doc();
  Y.applyUpdate(into, Y.encodeStateAsUpdate(documents.lead));
  return Object.assign(copy, { lead: into });
}

/** A demo whose passes are agreed. */
function agreed(): DocumentFamily {
  const documents = demoDocuments();
  writeAgreed(documents.lead, planOf(read(documents)));
  return documents;
}

function start(documents: DocumentFamily, atMs = 0): void {
  const board = read(documents);
  const { passes } = playedOn(board).plan;
  const transport = startedAt(timelineOf(board.tune), atMs, 100, 1, passes.length);
  writeStart(documents.lead, playedOn({ tune: board.tune, ...planPart(board) }), transport);
}

const planPart = ({ plan }: ReturnType<typeof read>) => (plan ? { plan } : {});

describe('what is played', () => {
  test('it stays as it was at the start, whatever is agreed or corrected meanwhile, until it is set going anew', () => {
    const documents = agreed();
    start(documents);
    const before = read(documents);
    const was = playedOn(before);
    expect(was.plan).toEqual(before.plan);
    expect(was.tune).toEqual(before.tune);
    writeAgreed(documents.lead, { passes: [{}, {}], variants: {} });
    const [first] = before.tune.parts[0]?.measures ?? [];
    if (!first) throw new Error('the demo has no measure');
    writePlain(documents.lead, first.id, first.strokes.slice(1), []);
    const { transport } = read(documents);
    writeTransport(documents.lead, withFootUp(transport, timelineOf(before.tune), 20_000));
    const now = read(documents);
    expect(playedOn(now)).toEqual(was);
    expect(now.plan?.passes).toHaveLength(2);
    expect(now.tune).not.toEqual(was.tune);
    writeTransport(documents.lead, { kind: 'stopped' });
    expect(playedOn(read(documents)).plan.passes).toHaveLength(2);
    start(documents);
    expect(playedOn(read(documents)).tune).toEqual(now.tune);
  });

  test('where nothing is agreed yet, the plain tune is set going as the only pass', () => {
    const documents = demoDocuments();
    start(documents);
    const { played, plan, leftOut } = read(documents);
    expect(plan).toBeUndefined();
    expect(leftOut).toEqual([]);
    expect(played?.plan.passes).toHaveLength(1);
    expect(new Set(Object.values(played?.plan.passes[0] ?? {}))).toEqual(new Set(['plain']));
  });

  test('its name is the same in every browser, and another for anything else', () => {
    const documents = agreed();
    start(documents);
    const { transport, played } = read(documents);
    if (!played || transport.kind !== 'playing') throw new Error('nothing is played');
    expect(nameOfPlayed(played)).toBe(transport.played);
    expect(nameOfPlayed(playedOn(read(copyOf(documents))))).toBe(transport.played);
    expect(nameOfPlayed(roundTheCircle(read(documents), 'line', asPeople([WREN])))).not.toBe(
      transport.played,
    );
  });

  test('when it has ended by itself, what is agreed by then is on the page, whatever the length of the tune now', () => {
    const documents = agreed();
    start(documents);
    const was = playedOn(read(documents));
    writeAgreed(documents.lead, { passes: [{}, {}], variants: {} });
    const board = read(documents);
    // 32 measures of two beats at 100 a minute, as often as there were passes, after the count of four beats.
    const endMs = 600 + 4 * 600 + was.plan.passes.length * 32 * 2 * 600;
    const [before, after] = [endMs - 1, endMs + 1].map((nowMs) => stageOf(board, nowMs));
    expect(before?.position.kind).toBe('playing');
    expect(before?.played).toEqual(was);
    expect(after?.position.kind).toBe('ended');
    expect(after?.played.plan.passes).toHaveLength(2);
  });

  test('a value that was read is read no second time, and one that takes its place is', () => {
    const documents = agreed();
    start(documents);
    const [first, second] = [read(documents), read(documents)];
    expect(second.played).toBe(first.played);
    expect(second.plan).toBe(first.plan);
    writeAgreed(documents.lead, { passes: [{}, {}], variants: {} });
    expect(read(documents).plan?.passes).toHaveLength(2);
  });

  test('only one is kept, however often it is set going', () => {
    const documents = agreed();
    start(documents);
    writeAgreed(documents.lead, { passes: [{}, {}], variants: {} });
    writeTransport(documents.lead, { kind: 'stopped' });
    start(documents);
    const keys = [...documents.lead.getMap(LEAD.transport).keys()];
    expect(keys.filter((key) => key.startsWith('played/'))).toHaveLength(1);
  });

  test('two leaders who start at the same moment end in one state for all: what one of them started, whole', () => {
    fc.assert(
      fc.property(fc.boolean(), fc.boolean(), fc.nat(1), fc.nat(1), (ran, same, a, b) => {
        const one = agreed();
        if (ran) {
          start(one);
          writeTransport(one.lead, { kind: 'stopped' });
        }
        const two = copyOf(one);
        // Whoever has not heard of the new plan starts the old one.
        if (!same) writeAgreed(two.lead, { passes: [{}, {}, {}], variants: {} });
        start(one, a);
        start(two, b);
        const started = [one, two].map((each) => {
          const { transport, played } = read(each);
          return { transport, played };
        });
        Y.applyUpdate(two.lead, Y.encodeStateAsUpdate(one.lead));
        Y.applyUpdate(one.lead, Y.encodeStateAsUpdate(two.lead));
        const [first, second] = [one, two].map((each) => {
          const { transport, played, leftOut } = read(each);
          expect(leftOut).toEqual([]);
          return { transport, played };
        });
        expect(first).toEqual(second);
        expect(first?.played).toBeDefined();
        expect(started).toContainEqual(first);
      }),
      { seed: 1, numRuns: 40 },
    );
  });

  test('what stands there and is nothing that can be played is left out and told, and everybody plays what is agreed', () => {
    const documents = agreed();
    start(documents);
    const { transport, plan } = read(documents);
    if (transport.kind !== 'playing') throw new Error('nothing is played');
    documents.lead.getMap(LEAD.transport).set(`played/${transport.played}`, { tune: 'none' });
    const board = read(documents);
    expect(board.leftOut.map(({ code }) => code)).toEqual(['played']);
    expect(playedOn(board).plan).toEqual(plan);
  });

  test('who takes out what is theirs is no longer named in it; the strokes and turns stay', () => {
    const documents = agreed();
    const board = read(documents);
    const circle = roundTheCircle(board, 'measure', asPeople([WREN, MOSS]));
    writeStart(documents.lead, circle, startedAt(timelineOf(board.tune), 0, 100, 1, 4));
    forgetInLead(documents.lead, new Set([MOSS]));
    const played = playedOn(read(documents));
    expect(JSON.stringify(played)).not.toContain('"Moss"');
    expect(JSON.stringify(played)).toContain('"Wren"');
    expect(passOf(played, 1).map(({ choice }) => choice)).toEqual(
      passOf(circle, 1).map(({ choice }) => choice),
    );
  });

  test('what is over and held something of theirs is not kept when they take it out', () => {
    const documents = agreed();
    const board = read(documents);
    const circle = roundTheCircle(board, 'measure', asPeople([WREN, MOSS]));
    writeStart(documents.lead, circle, startedAt(timelineOf(board.tune), 0, 100, 1, 4));
    documents.lead.getMap(LEAD.transport).set('now', { kind: 'stopped' });
    forgetInLead(documents.lead, new Set([MOSS]));
    expect([...documents.lead.getMap(LEAD.transport).keys()]).toEqual(['now']);
  });
});

describe('round the circle', () => {
  const board = read(agreed());
  const circleOf = fc.record({
    people: fc.shuffledSubarray([WREN, FERN, JULES, MOSS], { minLength: 1 }),
    turn: fc.constantFrom('measure' as const, 'line' as const),
    pass: fc.integer({ min: 1, max: 12 }),
  });

  test('every measure shows a variant of the person whose turn it is, or the plain one where they have none', () => {
    fc.assert(
      fc.property(circleOf, ({ people, turn, pass }) => {
        const cells = passOf(roundTheCircle(board, turn, asPeople(people)), pass);
        expect(cells).toHaveLength(32);
        for (const { visit, choice, variant, turn: whose } of cells) {
          const own = board.variants.filter(
            ({ author, measure }) => author === whose?.id && measure === visit.measure.id,
          );
          expect(people).toContain(whose?.id);
          expect(whose?.name).toBe(NAMES[whose?.id ?? '']);
          expect(choice).toBe(own.at(-1)?.id ?? 'plain');
          expect(variant?.strokes).toEqual(own.at(-1)?.strokes);
        }
      }),
      { seed: 1, numRuns: 100 },
    );
  });

  test('it is written and read back as it is', () => {
    fc.assert(
      fc.property(circleOf, ({ people, turn }) => {
        const documents = agreed();
        const played = roundTheCircle(board, turn, asPeople(people));
        writeStart(documents.lead, played, startedAt(timelineOf(board.tune), 0, 100, 1, 4));
        expect(read(documents).played).toEqual(played);
        expect(read(documents).leftOut).toEqual([]);
      }),
      { seed: 2, numRuns: 20 },
    );
  });

  test('without a circle a pass plays what was agreed', () => {
    const played = playedOn(board);
    for (const [index, chosen] of played.plan.passes.entries())
      for (const { visit, choice, turn } of passOf(played, index + 1)) {
        expect(choice).toBe(chosen[visit.measure.id] ?? 'plain');
        expect(turn).toBeUndefined();
      }
  });
});
