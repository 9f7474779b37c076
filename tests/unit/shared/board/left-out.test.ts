import { describe, expect, test } from 'vitest';
import * as Y from 'yjs';
import type { BoardId, MeasureId } from '../../../../lib/units';
import { demoDocuments } from '../../../../shared/board/demo';
import { DocumentFamily } from '../../../../shared/board/documents';
import { writeCalled } from '../../../../shared/board/leading';
import { inOneLine } from '../../../../shared/board/one-line';
import { readBoard } from '../../../../shared/board/read';
import { LEAD } from '../../../../shared/board/schema';
import { measureValueOf, writeTransport } from '../../../../shared/board/write';

const ID = 'demo' as BoardId;

function demo() {
  const documents = demoDocuments();
  const read = () => {
    const board = readBoard(ID, documents);
    if (!board) throw new Error('the board is gone');
    return board;
  };
  return { documents, read, lead: documents.lead };
}

describe('a head that cannot be read whole leaves the board open', () => {
  test.each([
    ['title', 5],
    ['title', 'x'.repeat(121)],
    ['tuning', 'toString'],
    ['capo', -1],
    ['drone', Number.NaN],
    ['meter', 'constructor'],
    ['meter', '__proto__'],
    ['key', { tonic: 'H', mode: 'major' }],
    ['key', null],
    ['tempo', Number.POSITIVE_INFINITY],
    ['tempo', 'fast'],
    ['form', []],
    ['form', Array.from({ length: 33 }, () => 'A')],
  ])('%s: %j', (field, value) => {
    const { lead, read } = demo();
    const before = read();
    lead.getMap(LEAD.head).set(field, value);
    const board = read();
    expect(board.leftOut.map(({ code }) => code)).toEqual(['head']);
    expect(board.variants).toEqual(before.variants);
    // Only what cannot be read is another.
    if (field !== 'title') expect(board.tune.title).toBe(before.tune.title);
    if (field !== 'tempo') expect(board.tune.tempo).toBe(before.tune.tempo);
  });

  test('a field that is missing', () => {
    const { lead, read } = demo();
    lead.getMap(LEAD.head).delete('tempo');
    expect(read().tune.tempo).toBe(80);
  });

  test('all of it that is taken away', () => {
    const { lead, read } = demo();
    const before = read();
    for (const key of [...lead.getMap(LEAD.head).keys()]) lead.getMap(LEAD.head).delete(key);
    const board = read();
    expect(board.leftOut.map(({ code }) => code)).toEqual(['head']);
    expect(board.variants).toEqual(before.variants);
    // As it is kept on the disk.
    const kept = new DocumentFamily();
    Y.applyUpdate(kept.lead, Y.encodeStateAsUpdate(lead));
    expect(readBoard(ID, kept)?.tune).toEqual(board.tune);
  });

  test('where nothing ever was, there is no board', () => {
    expect(readBoard(ID, new DocumentFamily())).toBeUndefined();
  });
});

test.each(['constructor', '__proto__', 'toString', 'valueOf', 'hasOwnProperty'])(
  'no measure is called %s, which every object has',
  (name) => {
    const { lead, read } = demo();
    const [plain] = read().tune.parts[0]?.measures ?? [];
    if (!plain) throw new Error('no measure');
    lead.getMap(LEAD.measures).set(name, measureValueOf(plain, 'A', 99));
    const board = read();
    expect(board.tune.parts.flatMap(({ measures }) => measures.map(({ id }) => id))).not.toContain(
      name as MeasureId,
    );
    expect(board.leftOut.map(({ code }) => code)).toEqual(['measure']);
  },
);

test.each([1e308, -1e308, 8.64e15 + 1])(
  'what is set going at %d, which is no date, stands still',
  (atMs) => {
    const { lead, read } = demo();
    const leg = { kind: 'play', atMs, pass: 1, visit: 0, tempo: 80, repeats: true } as const;
    writeTransport(lead, { kind: 'playing', legs: [leg], lastPass: 2 });
    const board = read();
    expect(board.transport).toEqual({ kind: 'stopped' });
    expect(board.leftOut.map(({ code }) => code)).toEqual(['transport']);
  },
);

describe('what somebody wrote stands on one line and turns nothing round', () => {
  test.each([
    ['Old Joe', 'Old Joe'],
    ['a\r\nX:2\nT:forged', 'a X:2 T:forged'],
    ['a\u2028b\u2029c\u0085d\te', 'a b c d e'],
    ['nul\0bell\x07del\x7fnel\x9f', 'nulbelldelnel'],
    ['turned \u202Edellac', 'turned dellac'],
    ['\u2066kept apart\u2069', 'kept apart'],
    ['half \ud83e of one, and \udd95', 'half  of one, and '],
    ['whole 🪕, שלום\u200F, é', 'whole 🪕, שלום\u200F, é'],
  ])('%j', (text, line) => {
    expect(inOneLine(text)).toBe(line);
  });

  test('a title, a chord and what a leader calls somebody', () => {
    const { lead, read } = demo();
    const before = read();
    const [plain] = before.tune.parts[0]?.measures ?? [];
    const [person] = before.people;
    if (!plain || !person) throw new Error('the demo is empty');
    lead.getMap(LEAD.head).set('title', 'one\ntwo\u202E');
    lead.getMap(LEAD.measures).set(plain.id, measureValueOf({ ...plain, chord: 'G\nK:C' }, 'A', 0));
    writeCalled(lead, person.id, 'A\u202Eb');
    const board = read();
    expect(board.tune.title).toBe('one two');
    expect(board.tune.parts[0]?.measures[0]?.chord).toBe('G K:C');
    expect(board.people[0]?.name).toBe('Ab');
    expect(board.leftOut).toEqual([]);
  });
});
