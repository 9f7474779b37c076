import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import type { BoardId } from '../../lib/units';
import { isBoardId, newBoardId, newSecret, secretHash } from '../../server/links';
import type { Role } from '../../shared/board/roles';
import { isParticipantId } from '../../shared/board/roles';
import { startTestServer, testFolder } from '../kit/server';
import { testConfig } from '../kit/server-config';

test('a secret has at least 128 bit, fits a path, and no two are the same', () => {
  const secrets = Array.from({ length: 200 }, newSecret);
  for (const secret of secrets) {
    expect(secret).toMatch(/^[A-Za-z0-9_-]+$/);
    expect(Buffer.from(secret, 'base64url').length * 8).toBeGreaterThanOrEqual(128);
  }
  expect(new Set(secrets).size).toBe(secrets.length);
});

test('what is kept of a secret is its SHA-256', () => {
  // Source: FIPS 180-2, appendix B.1 gives SHA-256("abc"); the same function on 26 letters, computed with sha256sum.
  expect(secretHash('abcdefghijklmnopqrstuvwxyz')).toBe(
    '71c480df93d6ae2f1efad1447c66c9525e316218cf51fc8d9ed832f2daf18b73',
  );
  expect(secretHash('short')).toBeUndefined();
  expect(secretHash('../../../../etc/passwd-and-more')).toBeUndefined();
});

test('the database holds no secret of any link', async () => {
  const config = testConfig(testFolder());
  const server = await startTestServer({ config });
  const { secrets } = await server.create();
  await server.stop();
  const bytes = readFileSync(`${config.dataDir}/passround.sqlite`, 'latin1');
  for (const secret of Object.values(secrets)) expect(bytes).not.toContain(secret);
  expect(bytes).toContain(secretHash(secrets.join));
});

test.each<readonly [string, readonly Role[], Role]>([
  ['join', ['join'], 'join'],
  ['watch, then join', ['watch', 'join'], 'join'],
  ['lead, then join', ['lead', 'join'], 'lead'],
  ['join, lead, watch', ['join', 'lead', 'watch'], 'lead'],
])('a browser that opens %s is one person, who may %3$s', async (_, links, role) => {
  const server = await startTestServer();
  const board = await server.create();
  let visitor = await server.visit(board, links[0] ?? 'watch');
  const { participant } = visitor;
  for (const link of links.slice(1)) visitor = await server.visit(board, link, visitor.cookie);
  expect(visitor).toMatchObject({ participant, role });
  expect(isParticipantId(participant)).toBe(true);
  expect(await server.host.visitorOf(board.id, `other=1; ${visitor.cookie}; more=2`)).toEqual({
    participant,
    role,
  });
});

test('a browser is somebody else on each board', async () => {
  const server = await startTestServer();
  const [one, two] = [await server.create(), await server.create()];
  const first = await server.visit(one, 'lead');
  const second = await server.visit(two, 'watch', first.cookie);
  expect(second.role).toBe('watch');
  expect(second.participant).not.toBe(first.participant);
  const both = `${first.cookie}; ${second.cookie}`;
  expect((await server.host.visitorOf(one.id, both))?.role).toBe('lead');
  expect((await server.host.visitorOf(two.id, both))?.role).toBe('watch');
});

test.each([
  ['http, where browsers would not keep it otherwise', undefined, false],
  ['https only, where people come by https', new URL('https://board.example'), true],
])(
  'the cookie is for our server alone, scripts cannot read it, and it goes by %s',
  async (_, publicUrl, secure) => {
    const config = { ...testConfig(testFolder()), ...(publicUrl ? { publicUrl } : {}) };
    const server = await startTestServer({ config });
    const board = await server.create();
    const opened = await server.host.openLink(board.secrets.join, undefined);
    const [pair, ...flags] = opened?.setCookie.split('; ') ?? [];
    expect(pair).toMatch(
      new RegExp(
        `^${secure ? '__Host-' : ''}passround_${board.id}=[a-z0-9]{12}\\.join\\.[0-9a-f]{12}\\.[A-Za-z0-9_-]{43}$`,
      ),
    );
    expect(new Set(flags)).toEqual(
      new Set([
        'Path=/',
        'Max-Age=31536000',
        'HttpOnly',
        'SameSite=Lax',
        ...(secure ? ['Secure'] : []),
      ]),
    );
  },
);

test('a link that nobody made opens nothing', async () => {
  const server = await startTestServer();
  for (const secret of [newSecret(), '', 'x', '%', "' OR 1=1 --"])
    expect(await server.host.openLink(secret, undefined)).toBeUndefined();
});

test('whoever has a cookie or the secret of a link may read a board, and nobody else', async () => {
  const server = await startTestServer();
  const [board, other] = [await server.create(), await server.create()];
  const { cookie } = await server.visit(board, 'watch');
  const may = (id: BoardId, header?: string, key?: string) => server.host.mayRead(id, header, key);
  expect(await may(board.id, cookie)).toBe(true);
  expect(await may(board.id, undefined, board.secrets.watch)).toBe(true);
  expect(await may(board.id)).toBe(false);
  expect(await may(other.id, cookie)).toBe(false);
  expect(await may(other.id, undefined, board.secrets.lead)).toBe(false);
});

test('a board id is twelve small letters and digits', () => {
  expect(isBoardId(newBoardId())).toBe(true);
  for (const bad of ['', 'ABCDEFGHIJKL', 'abcdefghijk', '../etc/passwd', 12, undefined])
    expect(isBoardId(bad)).toBe(false);
});
