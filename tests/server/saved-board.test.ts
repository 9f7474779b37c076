import { expect, test } from 'vitest';
import { toMidi } from '../../lib/formats/midi/write';
import { toMusicXml } from '../../lib/formats/musicxml/write';
import { PLAIN_PASS, strokesIn } from '../../lib/formats/pass';
import type { BoardId, ParticipantId } from '../../lib/units';
import { parseSavedBoard, savedBoardOf } from '../../shared/api/saved-board';
import { demoDocuments } from '../../shared/board/demo';
import { writeHidden, writeShut } from '../../shared/board/leading';
import { readBoard } from '../../shared/board/read';
import { restored } from '../../shared/board/saved';
import type { Board, Variant } from '../../shared/board/schema';
import { MAX_VARIANTS } from '../../shared/board/values';
import {
  writeAgreed,
  writeLevel,
  writeLocks,
  writeOverruled,
  writePlainPass,
  writePlanning,
} from '../../shared/board/write';
import type { TestServer } from '../kit/server';
import { startTestServer } from '../kit/server';

/** The demo board with something in every field that a leader can set. */
function fullBoard(): Board {
  const family = demoDocuments();
  const id = 'abcdefghijkl' as BoardId;
  const plain = readBoard(id, family);
  const [first, second, third] = plain?.variants ?? [];
  if (!plain || !first || !second || !third) throw new Error('no demo board');
  writeLevel(family.lead, 3);
  writePlanning(family.lead, { rule: 'phragmen', carry: false, plainFirst: false });
  writeLocks(family.lead, [{ pass: 2, measure: first.measure, choice: first.id }]);
  writePlainPass(family.lead, 4, true);
  writeOverruled(family.lead, second.measure, second.id);
  writeHidden(family.lead, third.id, true);
  writeShut(family.lead, family.house, second.measure, true);
  const passes = [{ [first.measure]: 'plain' as const }, { [first.measure]: first.id }];
  const variants = { [first.id]: { measure: first.measure, strokes: first.strokes, by: 'Wren' } };
  writeAgreed(family.lead, { passes, variants });
  const board = readBoard(id, family);
  if (!board) throw new Error('no board');
  return board;
}

async function created(server: TestServer, tune: unknown): Promise<Board> {
  const made = await server.ask({ tune });
  if (!made.ok) throw new Error(JSON.stringify(made.problems));
  const board = await server.host.readBoard(made.value.board as BoardId);
  if (!board) throw new Error('no board');
  return board;
}

/** Fields that belong to a place and not to the board: what time it is there, who was removed, links, where somebody points. */
const OF_THE_PLACE = new Set(['id', 'transport', 'pointer', 'gone', 'renewed', 'leftOut']);

function carried(board: Board) {
  return Object.fromEntries(Object.entries(board).filter(([key]) => !OF_THE_PLACE.has(key)));
}

test('a saved board starts a new one that is the same: tune, people, variants, votes, orders, plan', async () => {
  const server = await startTestServer();
  const board = fullBoard();
  const text = JSON.stringify(savedBoardOf(board, 'board'));
  const copy = await created(server, { board: JSON.parse(text) });
  expect(copy.leftOut).toEqual([]);
  expect(carried(copy)).toEqual(carried(board));
  expect(JSON.stringify(savedBoardOf(copy, 'board'))).toBe(text);
});

test('the music alone keeps tune and agreed passes, and nobody is named in it', async () => {
  const server = await startTestServer();
  const board = fullBoard();
  const text = JSON.stringify(savedBoardOf(board, 'music'));
  for (const { name, id } of board.people) {
    expect(text).not.toContain(`"${name}"`);
    expect(text).not.toContain(`"${id}"`);
  }
  const copy = await created(server, { board: JSON.parse(text) });
  expect(copy.tune).toEqual(board.tune);
  expect(copy.plan?.passes).toEqual(board.plan?.passes);
  expect([copy.people, copy.variants, copy.voting]).toEqual([[], [], 'open']);
});

test('votes for what is not there are left out, and that is said', async () => {
  const server = await startTestServer();
  const approvals = {
    demowren0001: ['abcdefghijkl.0123456789abcdef', 'plain:nowhere', 'plain:m1'],
  };
  const made = await server.ask({
    tune: { board: { ...savedBoardOf(fullBoard(), 'board'), approvals } },
  });
  if (!made.ok) throw new Error('refused');
  expect(made.value.remarks.join(' ')).toMatch(/2 entries of the saved board/);
  const copy = await server.host.readBoard(made.value.board as BoardId);
  expect(copy?.approvals).toEqual({ demowren0001: ['plain:m1'] });
});

/** So many variants by one person that differ. */
function manyBy(author: ParticipantId, count: number): readonly Omit<Variant, 'arrived'>[] {
  return Array.from({ length: count }, (_, n) => {
    const fret = Math.floor(n / 64);
    const notes = [{ string: 1 + (n % 4), fret }];
    const strokes = [{ at: 0, length: 1920, by: 'strike', notes }] as unknown as Variant['strokes'];
    const measure = `m${1 + (Math.floor(n / 4) % 16)}` as Variant['measure'];
    return { id: `${author}.${n}` as Variant['id'], author, measure, strokes, note: '' };
  });
}

test('a board on which one person had put forward more than counts starts a new one with as many as count, and says what was left out', async () => {
  const server = await startTestServer();
  const saved = savedBoardOf(fullBoard(), 'board');
  const author = 'demofern0002' as ParticipantId;
  const variants = manyBy(author, MAX_VARIANTS + 30);
  const last = variants.at(-1)?.id;
  const approvals = { demowren0001: [variants[0]?.id, last, 'plain:m1'] };
  const more = { variants, approvals, overruled: { m1: last }, plan: undefined };
  const whole = JSON.parse(JSON.stringify({ ...saved, ...more }));
  const made = await server.ask({
    tune: { board: { ...whole, planning: { ...whole.planning, locks: [] } } },
  });
  if (!made.ok) throw new Error(JSON.stringify(made.problems));
  expect(made.value.remarks).toEqual([
    'Of what one person puts forward the first 200 variants count; 30 more of the saved board were left out, with the votes for them.',
  ]);
  const copy = await server.host.readBoard(made.value.board as BoardId);
  expect(copy?.variants.map(({ author: by }) => by)).toEqual(variants.slice(30).map(() => author));
  expect(copy?.leftOut).toEqual([]);
  expect(copy?.approvals.demowren0001).toHaveLength(2);
  expect(copy?.overruled).toEqual({});
});

test.each<readonly [string, (saved: Record<string, unknown>) => unknown, string, RegExp]>([
  ['something else', () => ({ a: 1 }), 'tune.board.format', /no saved board/],
  ['nothing', () => null, 'tune.board.format', /no saved board/],
  [
    'another version',
    (saved) => ({ ...saved, version: 2 }),
    'tune.board.version',
    /version 1 can be read/,
  ],
  ['no people', ({ people: _, ...saved }) => saved, 'tune.board.people', /cannot be used/],
  [
    'a form of parts that are not there',
    (saved) => ({ ...saved, tune: { ...(saved.tune as object), form: ['Z'] } }),
    'tune.board.tune.form',
    /names part Z/,
  ],
])('%s makes no board, and the path is told', async (_, change, path, words) => {
  const server = await startTestServer();
  const saved = change({ ...savedBoardOf(fullBoard(), 'board') });
  const made = await server.ask({ tune: { board: saved } });
  if (made.ok) throw new Error('it was made');
  expect(made.problems[0]?.where).toEqual({ path });
  expect(made.problems[0]?.words).toMatch(words);
  expect(server.host.health().boards).toBe(0);
});

test('MusicXML with tab makes a board with just these strokes', async () => {
  const server = await startTestServer();
  const { tune } = fullBoard();
  const copy = await created(server, { musicxml: toMusicXml({ tune }) });
  const strokes = (one: Board['tune']) =>
    one.parts.flatMap(({ measures }) => measures.map((measure) => strokesIn(PLAIN_PASS, measure)));
  expect(strokes(copy.tune)).toEqual(strokes(tune));
  expect(copy.tune.form).toEqual(tune.form);
});

test('MIDI makes a board of its melody', async () => {
  const server = await startTestServer();
  const { tune } = fullBoard();
  const midi = Buffer.from(toMidi({ tune })).toString('base64');
  const copy = await created(server, { midi });
  expect(copy.tune.title).toBe(tune.title);
  expect(copy.tune.form).toEqual(tune.form);
});

test.each([
  ['MusicXML', { musicxml: '<score-partwise>' }, { line: 1 }, /cannot be read/],
  ['a compressed score', { mxl: 'AAAA' }, { line: 1 }, /no XML|cannot be read|neither/],
  ['MIDI', { midi: 'AAAA' }, { byte: 0 }, /no MIDI file/],
])('%s that is none makes no board', async (_, tune, where, words) => {
  const server = await startTestServer();
  const made = await server.ask({ tune });
  if (made.ok) throw new Error('it was made');
  expect(made.problems[0]?.where).toMatchObject(where);
  expect(made.problems[0]?.words).toMatch(words);
});

test('a variant whose id somebody changed keeps its votes under its true id', () => {
  const board = fullBoard();
  const [variant] = board.variants;
  if (!variant) throw new Error('no variant');
  const text = JSON.stringify(savedBoardOf(board, 'board')).replaceAll(
    variant.id,
    `${variant.author}.0000000000000000`,
  );
  const { family } = restoredFrom(text);
  const copy = readBoard(board.id, family);
  expect(copy?.variants.map(({ id }) => id)).toEqual(board.variants.map(({ id }) => id));
  expect(copy?.approvals).toEqual(board.approvals);
});

function restoredFrom(text: string) {
  const saved = parse(JSON.parse(text));
  return restored(saved);
}

function parse(value: unknown) {
  const saved = parseSavedBoard(value);
  if (!saved.ok) throw new Error(JSON.stringify(saved.problems));
  return saved.value;
}
