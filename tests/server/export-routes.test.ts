import { parseMidi } from 'midi-file';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { parseMusic } from '../../app/_islands/play/music';
import { readAbc } from '../../lib/formats/abc/read';
import { findBrowser } from '../../server/launch/chromium.mjs';
import { nameOfPlayed } from '../../shared/board/played';
import type { Links } from '../kit/demo-visit';
import { agreedBoard, boardOf } from '../kit/demo-visit';
import type { Program } from '../kit/program';
import { startProgram } from '../kit/program';
import { schemaProblems } from '../reference/formats/judges';

/** The whole program with its built pages: what anybody gets who asks for a file. */
let program: Program;
let board: Links;
let other: Links;
beforeAll(async () => {
  program = await startProgram();
  board = await agreedBoard(program);
  other = await boardOf(program, { demo: true });
}, 60_000);
afterAll(async () => {
  await program.end();
});

const key = (link: string) => link.replace('/join/', '');
const at = (path: string) => `${program.url}/api/boards/${board.board}/${path}`;
const ask = (path: string, secret = key(board.links.watch)) =>
  fetch(`${at(`export/${path}`)}${path.includes('?') ? '&' : '?'}key=${secret}`);

async function bytes(answer: Response): Promise<Buffer> {
  return Buffer.from(await answer.arrayBuffer());
}

/** What each kind of file must hold at least, by somebody else's reader where there is one. */
const HOLDS: Readonly<Record<string, (file: Buffer) => void>> = {
  musicxml: (file) => expect(schemaProblems(file.toString('utf8'))).toEqual([]),
  mid: (file) => expect(parseMidi(file).header.ticksPerBeat).toBe(480),
  abc: (file) => expect(readAbc(file.toString('utf8')).ok).toBe(true),
  json: (file) => expect(JSON.parse(file.toString('utf8'))).toMatchObject({ version: 1 }),
  wav: (file) => expect(file.readUInt32LE(4)).toBe(file.length - 8),
};

describe('a file is given with its type, its name and all of its bytes', () => {
  const title = 'lantern-on-the-landing';
  test.each([
    ['musicxml', 'application/vnd.recordare.musicxml+xml; charset=utf-8', `${title}.musicxml`],
    [
      'musicxml?pass=2',
      'application/vnd.recordare.musicxml+xml; charset=utf-8',
      `${title}-pass-2.musicxml`,
    ],
    ['midi', 'audio/midi', `${title}.mid`],
    ['midi?pass=plain', 'audio/midi', `${title}-plain.mid`],
    ['abc', 'text/vnd.abc; charset=utf-8', `${title}-plain.abc`],
    ['json', 'application/json', `${title}.board.json`],
    ['json?holds=music', 'application/json', `${title}.music.json`],
    ['wav?pass=plain&part=A&tempo=200', 'audio/wav', 'board-BOARD.wav'],
  ])('%s', async (path, type, name) => {
    const answer = await ask(path);
    expect(answer.status).toBe(200);
    expect(answer.headers.get('content-type')).toBe(type);
    expect(answer.headers.get('content-disposition')).toBe(
      `attachment; filename="${name.replace('BOARD', board.board)}"`,
    );
    expect(answer.headers.get('cache-control')).toContain('no-store');
    expect(answer.headers.get('x-content-type-options')).toBe('nosniff');
    const file = await bytes(answer);
    const length = answer.headers.get('content-length');
    if (length !== null && answer.headers.get('content-encoding') === null)
      expect(Number(length)).toBe(file.length);
    const ending = name.split('.').at(-1) ?? '';
    HOLDS[ending]?.(file);
    expect(file.length).toBeGreaterThan(100);
  });

  // Where the machine has a browser, the sheet comes as PDF; where it has none, that is said.
  test('pdf', { timeout: 40_000 }, async () => {
    const answer = await ask('pdf?block=plain');
    const file = await bytes(answer);
    if (findBrowser() === undefined) {
      expect(answer.status).toBe(501);
      expect(file.toString('utf8')).toContain('use your own print');
    } else {
      expect(answer.status).toBe(200);
      expect(answer.headers.get('content-type')).toBe('application/pdf');
      expect(file.toString('latin1', 0, 5)).toBe('%PDF-');
      expect(file.toString('latin1').trimEnd().endsWith('%%EOF')).toBe(true);
    }
  });
});

describe('what cannot be given is refused in words', () => {
  test.each([
    ['gp5', 404, 'cannot be taken away as "gp5"'],
    [
      'musicxml?pass=4',
      404,
      'There is no pass "4". Ask for pass=plain, pass=all, or pass=1 to pass=3.',
    ],
    ['midi?pass=', 404, 'There is no pass ""'],
    ['abc?pass=2', 404, 'plain tune only'],
    ['json?holds=votes', 404, 'holds no "votes"'],
    ['wav?tempo=fast', 400, '"tempo" takes'],
    ['wav?pass=9', 404, 'no such pass'],
  ])('%s', async (path, status, words) => {
    const answer = await ask(path);
    expect(answer.status).toBe(status);
    expect(await answer.json()).toEqual({ error: { message: expect.stringContaining(words) } });
  });

  test.each(['musicxml', 'midi', 'abc', 'json', 'wav', 'pdf'])(
    '%s without a link, with a wrong one, and with one of another board',
    async (format) => {
      const answers = [
        await fetch(at(`export/${format}`)),
        await ask(format, 'madeupmadeupmadeupmadeup'),
        await ask(format, key(other.links.lead)),
        await fetch(
          `${program.url}/api/boards/nosuchboard0/export/${format}?key=${key(board.links.lead)}`,
        ),
      ];
      for (const answer of answers) {
        expect(answer.status).toBe(403);
        expect(await answer.json()).toEqual({
          error: { message: 'Open one of the links of this board first.' },
        });
      }
    },
  );
});

describe('what was taken away starts a board that gives the same again', () => {
  const taken = async (links: Links, path: string) => {
    const answer = await fetch(
      `${program.url}/api/boards/${links.board}/export/${path}${path.includes('?') ? '&' : '?'}key=${key(links.links.join)}`,
    );
    return answer.text();
  };

  test.each(['json', 'json?holds=music'])('%s', async (path) => {
    const text = await taken(board, path);
    const copy = await boardOf(program, { board: JSON.parse(text) });
    expect(copy.board).not.toBe(board.board);
    expect(await taken(copy, path)).toBe(text);
  });

  test('votes come along with the whole board and stay out of the music', async () => {
    expect(await taken(board, 'json')).toContain('"approvals"');
    const music = await taken(board, 'json?holds=music');
    for (const word of ['approvals', 'people', 'Jules']) expect(music).not.toContain(word);
  });

  test('musicxml', async () => {
    const text = await taken(board, 'musicxml?pass=plain');
    const copy = await boardOf(program, { musicxml: text });
    expect(await taken(copy, 'musicxml?pass=plain')).toBe(text);
  });

  test('abc of a melody is the abc of the board made of it, as far as a melody goes', async () => {
    const text = await taken(board, 'abc');
    const copy = await boardOf(program, { abc: text });
    expect(await taken(copy, 'abc')).toBe(text);
  });
});

describe('a link as a code to scan', () => {
  const drawn = (body: string) => fetch(at('link-code'), { method: 'POST', body });
  const link = (path: string) => JSON.stringify({ link: `${program.url}${path}` });

  test('whoever has the join or watch link gets its code', async () => {
    for (const role of ['join', 'watch'] as const) {
      const answer = await drawn(link(board.links[role]));
      expect(answer.status).toBe(200);
      const address = `${program.url}${board.links[role]}`;
      expect(await answer.json()).toMatchObject({ role, address, dark: /^M/ });
    }
  });

  test.each([
    ['the link of leaders', () => link(board.links.lead), 'link for leaders'],
    ['the link of another board', () => link(other.links.join), 'does not open this board'],
    ['no link', () => JSON.stringify({ link: 'hello' }), 'This is no link'],
    ['no JSON', () => 'hello', 'Send { "link"'],
    ['too much', () => link(`/join/${'x'.repeat(1000)}`), 'Send { "link"'],
  ])('%s gets none', async (_, body, words) => {
    const answer = await drawn(body());
    expect(answer.status).toBe(400);
    expect(await answer.text()).toContain(JSON.stringify(words).slice(1, -1));
  });

  test("a sheet with the leaders' link on it is not printed", async () => {
    const body = new URLSearchParams({
      key: key(board.links.lead),
      link: `${program.url}${board.links.lead}`,
    });
    const answer = await fetch(at('export/pdf'), { method: 'POST', body });
    expect(answer.status).toBe(400);
    expect(await answer.text()).toContain('link for leaders');
    const long = new URLSearchParams({ block: 'x'.repeat(3000) });
    expect((await fetch(at('export/pdf'), { method: 'POST', body: long })).status).toBe(413);
  });
});

test('a play page is given what is played, by its name and with a link of the board, and nothing else', async () => {
  const cookieOf = async ({ links }: Links) => {
    const answer = await fetch(program.url + links.watch, { redirect: 'manual' });
    return answer.headers.get('set-cookie')?.split(';')[0] ?? '';
  };
  const play = `${program.url}/b/${board.board}/play`;
  const get = async (path: string, cookie: string) =>
    fetch(`${play}/${path}`, { headers: { cookie } });
  const [mine, foreign] = [await cookieOf(board), await cookieOf(other)];
  const { name } = (await (await get('book', mine)).json()) as { readonly name: string };
  const answer = await get(`music?name=${name}`, mine);
  expect(answer.status).toBe(200);
  expect(answer.headers.get('cache-control')).toContain('no-store');
  const played = parseMusic(await answer.json());
  expect(played && nameOfPlayed(played)).toBe(name);
  expect(played?.plan.passes).toHaveLength(3);
  for (const [path, cookie] of [
    [`music?name=${name}`, ''],
    [`music?name=${name}`, foreign],
    ['music?name=0123456789abcdef', mine],
    ['music', mine],
  ] as const)
    expect((await get(path, cookie)).status, path).toBe(404);
});
