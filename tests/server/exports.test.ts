import { parseMidi } from 'midi-file';
import { expect, test } from 'vitest';
import { readAbc } from '../../lib/formats/abc/read';
import { exportFile } from '../../server/exports';
import type { Board } from '../../shared/board/schema';
import { startTestServer } from '../kit/server';
import { schemaProblems } from '../reference/formats/judges';

/** The demo board as it is, or with a plan of two passes in which the first variant is played. */
async function demoBoard(agreed: boolean): Promise<Board> {
  const server = await startTestServer();
  const { id } = await server.create();
  const board = await server.host.readBoard(id);
  if (!board) throw new Error('no demo board');
  const [variant] = board.variants;
  if (!agreed || !variant) return board;
  const { id: chosen, measure, strokes } = variant;
  const passes = [{}, { [measure]: chosen }];
  return { ...board, plan: { passes, variants: { [chosen]: { measure, strokes, by: 'Wren' } } } };
}

function bodyOf(board: Board, format: string, pass?: string): string | Uint8Array {
  const file = exportFile(board, { format, ...(pass === undefined ? {} : { pass }) });
  if (!file.ok) throw new Error(file.problems.map(({ words }) => words).join(' '));
  return file.value.body;
}

test.each([
  ['musicxml', 'plain', 'lantern-on-the-landing-plain.musicxml', /musicxml\+xml; charset=utf-8$/],
  ['midi', '2', 'lantern-on-the-landing-pass-2.mid', /^audio\/midi$/],
  ['abc', undefined, 'lantern-on-the-landing-plain.abc', /^text\/vnd\.abc/],
  ['musicxml', undefined, 'lantern-on-the-landing.musicxml', /musicxml\+xml; charset=utf-8$/],
])('%s of pass %s has the name and type of its kind', async (format, pass, name, type) => {
  const board = await demoBoard(true);
  const file = exportFile(board, { format, ...(pass === undefined ? {} : { pass }) });
  if (!file.ok) throw new Error('refused');
  expect(file.value.name).toBe(name);
  expect(file.value.type).toMatch(type);
});

test('MusicXML of all passes is valid and names them; one of a single pass holds its variant', async () => {
  const board = await demoBoard(true);
  const all = String(bodyOf(board, 'musicxml'));
  expect(schemaProblems(all)).toEqual([]);
  expect(all).toContain('<words>Pass 1</words>');
  expect(all).toContain('<words>Pass 2</words>');
  const [first, second] = [
    String(bodyOf(board, 'musicxml', '1')),
    String(bodyOf(board, 'musicxml', '2')),
  ];
  expect(first).toBe(String(bodyOf(board, 'musicxml', 'plain')));
  expect(second).not.toBe(first);
});

test('MIDI of all passes has a track for each beside tempo and melody', async () => {
  const board = await demoBoard(true);
  const bytes = bodyOf(board, 'midi', 'all');
  if (typeof bytes === 'string') throw new Error('MIDI is bytes');
  expect(parseMidi(bytes).tracks).toHaveLength(4);
});

test('until something is agreed, the plain tune is given', async () => {
  const board = await demoBoard(false);
  expect(bodyOf(board, 'midi')).toEqual(bodyOf(board, 'midi', 'plain'));
});

test('ABC is the plain melody, which our own reader takes', async () => {
  const read = readAbc(String(bodyOf(await demoBoard(true), 'abc')));
  expect(read.ok && read.value.melody.title).toBe('Lantern on the Landing');
});

test.each([
  ['musicxml', '0', /pass=1 to pass=2/],
  ['musicxml', '3', /no pass "3"/],
  ['midi', 'first', /no pass "first"/],
  ['midi', '', /no pass ""/],
  ['abc', '2', /plain tune only/],
  ['gp5', undefined, /cannot be taken away as "gp5"/],
  ['constructor', undefined, /cannot be taken away/],
])('%s of pass "%s" is refused in words', async (format, pass, words) => {
  const board = await demoBoard(true);
  const file = exportFile(board, { format, ...(pass === undefined ? {} : { pass }) });
  expect(file.ok ? '' : file.problems[0]?.words).toMatch(words);
});
