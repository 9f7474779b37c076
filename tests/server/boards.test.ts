import { expect, test } from 'vitest';
import { TUNINGS } from '../../lib/tuning';
import type { BoardId } from '../../lib/units';
import { startTestServer } from '../kit/server';

const TUNE = `X:1
T:Test of a Gate
M:4/4
L:1/4
K:G
G B d B|A F D2|G B d B|A/B/A/F/ G2|]
`;

test('a board is made of ABC, with its title, its tune and three different links', async () => {
  const server = await startTestServer();
  const made = await server.ask({ tune: { abc: TUNE } });
  if (!made.ok) throw new Error(JSON.stringify(made.problems));
  const { board, links } = made.value;
  expect(new Set(Object.values(links)).size).toBe(3);
  for (const link of Object.values(links)) expect(link).toMatch(/^\/join\/[A-Za-z0-9_-]{32}$/);
  const value = await server.host.readBoard(board as BoardId);
  expect(value?.tune.title).toBe('Test of a Gate');
  expect(value?.tune.parts.flatMap(({ measures }) => measures)).toHaveLength(4);
  expect(value?.leftOut).toEqual([]);
  expect(value?.voting).toBe('open');
  expect(server.host.health().boards).toBe(1);
});

test('title, tuning and capo of the request count', async () => {
  const server = await startTestServer();
  const body = { title: ' Mine ', tune: { abc: TUNE }, tuning: 'gDGBD', capo: 2 };
  const board = await server.create(body);
  const tune = (await server.host.readBoard(board.id))?.tune;
  expect(tune?.title).toBe('Mine');
  expect(tune?.neck).toMatchObject({ tuning: { id: 'gDGBD' }, capo: 2 });
});

test.each(TUNINGS.map(({ id }) => id))(
  'a tune in G can be asked for in %s, or the answer says why not',
  async (tuning) => {
    const server = await startTestServer();
    const made = await server.ask({ tune: { abc: TUNE }, tuning });
    if (made.ok) {
      const tune = (await server.host.readBoard(made.value.board as BoardId))?.tune;
      expect(tune?.neck.tuning.id).toBe(tuning);
    } else expect(made.problems.every(({ words }) => words.length > 20)).toBe(true);
  },
);

test.each<readonly [string, unknown, object]>([
  ['nothing', undefined, {}],
  ['text', 'a tune', {}],
  ['no tune', { title: 'x' }, { path: 'tune' }],
  ['an unknown kind of tune', { tune: { mp3: '' } }, { path: 'tune' }],
  ['two kinds of tune', { tune: { abc: TUNE, demo: true } }, { path: 'tune' }],
  ['a tuning that nobody plays', { tune: { abc: TUNE }, tuning: 'EADGBE' }, { path: 'tuning' }],
  ['a capo above the neck', { tune: { abc: TUNE }, capo: 30 }, { path: 'capo' }],
  ['half a capo', { tune: { abc: TUNE }, capo: 1.5 }, { path: 'capo' }],
  ['ABC that is no ABC', { tune: { abc: 'hello' } }, { line: 1 }],
  [
    'a measure that does not add up',
    { tune: { abc: TUNE.replace('A F D2|', 'A F D4|') } },
    { line: 6 },
  ],
  ['a meter that nobody clawhammers', { tune: { abc: TUNE.replace('4/4', '7/8') } }, { line: 3 }],
])('no board is made of %s, and the answer says where it is', async (_, body, where) => {
  const server = await startTestServer();
  const made = await server.ask(body);
  if (made.ok) throw new Error('it was made');
  expect(made.problems[0]?.where).toMatchObject(where);
  expect(made.problems[0]?.words).toMatch(/\.$/);
  expect(server.host.health().boards).toBe(0);
});

test('what a board cannot hold of a title or a tempo is cut and said', async () => {
  const server = await startTestServer();
  const long = TUNE.replace('T:Test', `T:${'very '.repeat(60)}long`).replace(
    'L:1/4',
    'L:1/4\nQ:1/4=700',
  );
  const made = await server.ask({ tune: { abc: long } });
  if (!made.ok) throw new Error(JSON.stringify(made.problems));
  expect(made.value.remarks.join(' ')).toMatch(/title was cut.*tempo was set/);
  const board = await server.host.readBoard(made.value.board as BoardId);
  expect(board?.tune.title).toHaveLength(120);
  expect(board?.leftOut).toEqual([]);
});

test('a board that is not there is undefined, whatever is asked for', async () => {
  const server = await startTestServer();
  for (const id of ['', 'nowhere', 'abcdefghijkl', '../../x', '__proto__']) {
    expect(await server.host.readBoard(id as BoardId)).toBeUndefined();
    expect(await server.host.exportFile(id as BoardId, { format: 'json' })).toBeUndefined();
    const cookie = `passround_${id}=a.lead.b`;
    expect(await server.host.visitorOf(id as BoardId, cookie)).toBeUndefined();
  }
});
