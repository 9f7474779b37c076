import { request } from 'node:http';
import { expect, test } from 'vitest';
import { contentPolicy } from '../../server/guard';
import { BOARDS_AN_HOUR, MAX_BOARD_BODY, MAX_BODY } from '../../server/limits';
import { newBoardId, newParticipantId, sessionCookie } from '../../server/links';
import { addressOf, pathForLog } from '../../server/origin';
import { writePasses } from '../../shared/board/write';
import { ADDRESS_HEADER } from '../../shared/host-key';
import { Peer } from '../kit/peers';
import { startTestServer, testFolder } from '../kit/server';
import { testConfig } from '../kit/server-config';
import { stage } from '../kit/stage';

/** A server whose only page says what it was asked for. */
async function withPages(publicUrl?: URL) {
  const config = { ...testConfig(testFolder()), ...(publicUrl ? { publicUrl } : {}) };
  let asked = 0;
  const server = await startTestServer({
    config,
    pages: (_request, response) => {
      asked += 1;
      response.end('page');
    },
  });
  return { server, asked: () => asked };
}

test.each([
  ['POST', {}, 200],
  ['POST', { origin: 'http://127.0.0.1:PORT' }, 200],
  ['POST', { origin: 'https://board.example' }, 200],
  ['POST', { origin: 'http://elsewhere.example' }, 403],
  ['POST', { origin: 'null' }, 403],
  ['POST', { origin: 'null', 'sec-fetch-site': 'same-origin' }, 200],
  ['POST', { 'sec-fetch-site': 'none' }, 200],
  ['POST', { origin: 'http://127.0.0.1:PORT', 'sec-fetch-site': 'cross-site' }, 403],
  ['POST', { 'sec-fetch-site': 'same-site' }, 403],
  ['DELETE', { 'sec-fetch-site': 'cross-site' }, 403],
  ['GET', { origin: 'http://elsewhere.example', 'sec-fetch-site': 'cross-site' }, 200],
])('%s with %j is answered with %i', async (method, named, status) => {
  const { server, asked } = await withPages(new URL('https://board.example'));
  const headers = Object.fromEntries(
    Object.entries(named).map(([name, value]) => [name, value.replace('PORT', `${server.port}`)]),
  );
  // Node's fetch may not name these headers; a plain request may.
  const answer = await plainRequest(server.port, method, headers);
  expect(answer.status).toBe(status);
  expect(asked()).toBe(status === 200 ? 1 : 0);
});

test('a browser with a cookie of each of as many boards as browsers keep cookies of one site is answered', async () => {
  const publicUrl = new URL('https://board.example');
  const { server } = await withPages(publicUrl);
  // Source: Chromium keeps 180 cookies a domain, RFC 6265, section 6.1, asks for at least 50.
  const cookies = Array.from({ length: 180 }, () => {
    const me = { participant: newParticipantId(), role: 'watch', mark: 'ab12ab12ab12' } as const;
    return sessionCookie(server.config.secret, newBoardId(), me, true).split(';')[0];
  });
  const answer = await plainRequest(server.port, 'GET', { cookie: cookies.join('; ') });
  expect(answer.status).toBe(200);
  const board = await server.create();
  const me = await server.visit(board, 'join');
  const peer = await Peer.open(server, board, { cookie: `${cookies.join('; ')}; ${me.cookie}` });
  await peer.settled();
});

test.each([
  ['http://board.example', 403],
  ['http://BOARD.example', 403],
  ['http://board.example:443', 403],
  ['https://board.example.elsewhere.example', 403],
  ['https://elsewhere.example#https://board.example', 403],
  ['https://board.example:444', 403],
  ['https://board.example', 200],
  ['HTTPS://BOARD.EXAMPLE', 200],
  ['https://board.example:443', 200],
])(
  'where people come by https, a change that a page of %s asks for is answered with %i',
  async (origin, status) => {
    const { server } = await withPages(new URL('https://board.example'));
    for (const host of ['board.example', 'board.example:443']) {
      const answer = await plainRequest(server.port, 'POST', { origin, host });
      expect(answer.status).toBe(status);
    }
    const board = await server.create();
    const me = await server.visit(board, 'join');
    const opening = Peer.open(server, board, me, { origin, host: 'board.example' });
    if (status === 200) await (await opening).settled();
    else await expect(opening).rejects.toThrow('403');
  },
);

test.each([
  ['/api/boards', { 'content-length': `${MAX_BOARD_BODY + 1}` }, 413],
  ['/api/boards/abcdefghijkl/browser', { 'content-length': `${MAX_BODY + 1}` }, 413],
  ['/api/boards/abcdefghijkl/export/pdf', { 'content-length': `${MAX_BODY + 1}` }, 413],
  ['/b/abcdefghijkl?at=/api/boards', { 'content-length': `${MAX_BODY + 1}` }, 413],
  ['/api/boards', { 'transfer-encoding': 'chunked' }, 411],
  ['/', { 'transfer-encoding': 'chunked' }, 411],
])(
  'a body for %s with %j is refused with %i before any of it is read, and its line ends',
  async (path, named, status) => {
    const { server, asked } = await withPages();
    const answer = await plainRequest(server.port, 'POST', named, path);
    expect(answer.status).toBe(status);
    expect(answer.headers.connection).toBe('close');
    expect(asked()).toBe(0);
  },
);

test.each([
  ['TRACE', '/api/health', 405],
  ['PROPFIND', '/', 405],
  ['GET', '/b/%', 400],
  ['GET', '/b/%ff?x', 400],
  ['OPTIONS', '*', 400],
  ['GET', '/?%', 200],
  ['GET', '/b/%F0%9F%AA%95', 200],
  ['GET', 'http://elsewhere.example/b/x?y', 200],
])(
  '%s %s is answered with %i, and no page is asked what it cannot read',
  async (method, path, status) => {
    const { server, asked } = await withPages();
    const answer = await plainRequest(server.port, method, {}, path);
    expect(answer.status).toBe(status);
    expect(String(answer.headers.allow).includes('POST')).toBe(status === 405);
    expect(asked()).toBe(status === 200 ? 1 : 0);
  },
);

test('the longest body that is read is read', async () => {
  const { server, asked } = await withPages();
  const url = `http://127.0.0.1:${server.port}`;
  const send = (path: string, length: number) =>
    fetch(`${url}${path}`, { method: 'POST', body: 'x'.repeat(length) });
  expect((await send('/api/boards', MAX_BOARD_BODY)).status).toBe(200);
  expect((await send('/', MAX_BODY)).status).toBe(200);
  expect(asked()).toBe(2);
});

async function plainRequest(
  port: number,
  method: string,
  headers: Record<string, string>,
  path = '/',
) {
  return new Promise<{ status: number | undefined; headers: Record<string, unknown> }>(
    (done, failed) => {
      const sent = request({ host: '127.0.0.1', port, method, headers, path }, (response) => {
        response.resume();
        response.once('end', () =>
          done({ status: response.statusCode, headers: response.headers }),
        );
      }).once('error', failed);
      // A body that is announced and never comes: what is refused is refused unread.
      if (Number(headers['content-length'] ?? 0) > 0 || headers['transfer-encoding'])
        sent.flushHeaders();
      else sent.end();
    },
  );
}

test('every answer carries the headers that protect a page, with a nonce of its own', async () => {
  const { server } = await withPages(new URL('https://board.example'));
  const [first, second] = [
    await plainRequest(server.port, 'GET', {}),
    await plainRequest(server.port, 'GET', {}),
  ];
  expect(first.headers).toMatchObject({
    'x-content-type-options': 'nosniff',
    'referrer-policy': 'no-referrer',
    'cross-origin-opener-policy': 'same-origin',
    'strict-transport-security': 'max-age=31536000',
  });
  const policies = [first, second].map(({ headers }) => `${headers['content-security-policy']}`);
  for (const policy of policies) expect(policy).toMatch(/script-src 'self' 'nonce-[\w+/]{22}=='/);
  expect(policies[0]).not.toBe(policies[1]);
  const plain = await withPages();
  const answer = await plainRequest(plain.server.port, 'GET', {});
  expect(answer.headers['strict-transport-security']).toBeUndefined();
});

test('the policy lets no script in but ours, and nothing be evaluated, outside development', () => {
  expect(contentPolicy('x', false)).not.toContain('unsafe-eval');
  expect(contentPolicy('x', false)).not.toMatch(/script-src[^;]*unsafe/);
  expect(contentPolicy('x', true)).toContain('unsafe-eval');
});

test.each([
  [0, '1.1.1.1, 2.2.2.2', '9.9.9.9'],
  [1, '1.1.1.1, 2.2.2.2', '2.2.2.2'],
  [2, '1.1.1.1, 2.2.2.2', '1.1.1.1'],
  [3, '1.1.1.1, 2.2.2.2', '9.9.9.9'],
  [1, '', '9.9.9.9'],
  [1, '1.1.1.1, 2001:db8:1:2:3:4:5:6', '2001:db8:1:2::/64'],
  [1, '1.1.1.1, ::ffff:2.2.2.2', '2.2.2.2'],
  [1, '1.1.1.1, [2001:db8:1:2::1]:4711', '2001:db8:1:2::/64'],
  [1, '1.1.1.1, 2.2.2.2:4711', '2.2.2.2'],
  [1, '1.1.1.1, unknown', '9.9.9.9'],
  [1, `1.1.1.1, ${'x'.repeat(5000)}`, '9.9.9.9'],
  [1, '1.1.1.1,', '9.9.9.9'],
])('behind %i proxies that say "%s" the address is %s', (proxies, told, address) => {
  const request = { headers: { 'x-forwarded-for': told }, socket: { remoteAddress: '9.9.9.9' } };
  expect(addressOf(request as never, proxies)).toBe(address);
});

test.each([
  ['/join/abcdefgh_secret', '/join/…'],
  ['/sync/abc?key=secret', '/sync/abc'],
  ['/api/boards/a/export/json?key=secret#x', '/api/boards/a/export/json'],
  ['/b/abc\nFAKE LOG LINE', '/b/abc?FAKE LOG LINE'],
  [undefined, ''],
])('of %j the log says %j', (url, words) => {
  expect(pathForLog(url)).toBe(words);
});

test('one end site makes only so many boards an hour, whichever of its addresses it takes', async () => {
  const server = await startTestServer({
    config: { ...testConfig(testFolder()), proxies: 1 },
    pages: async (request, response) => {
      const address = `${request.headers[ADDRESS_HEADER]}`;
      const made = await server.ask({ tune: { demo: true } }, address);
      response.end(made.ok ? 'made' : made.problems[0]?.code);
    },
  });
  const make = async (address: string) => {
    const headers = { 'x-forwarded-for': `8.8.8.8, ${address}` };
    return (await fetch(`http://127.0.0.1:${server.port}/`, { headers })).text();
  };
  for (let board = 0; board < BOARDS_AN_HOUR; board += 1)
    expect(await make(`2001:db8:1:2:${board.toString(16)}::1`)).toBe('made');
  expect(await make('2001:db8:1:2:ffff::1')).toBe('too-many-boards');
  expect(await make('2001:0DB8:0001:0002::')).toBe('too-many-boards');
  expect(await make('2001:db8:1:3::1')).toBe('made');
});

test('a page that breaks is told without the secret in its address', async () => {
  const server = await startTestServer({
    pages: () => {
      throw new Error('broken');
    },
  });
  const answer = await plainRequest(server.port, 'GET', {});
  expect(answer.status).toBe(500);
  await fetch(`http://127.0.0.1:${server.port}/join/topsecretsecretsecretsecret?key=another`);
  expect(server.reports.join()).toContain('/join/…');
  expect(server.reports.join()).not.toMatch(/topsecret|another/);
});

test('one address makes only so many boards an hour, and is told so; others and later are free', async () => {
  let now = 1_000_000;
  const server = await startTestServer({ now: () => now });
  const make = async (address: string) => {
    const made = await server.ask({ tune: { demo: true } }, address);
    return made.ok ? 'made' : made.problems[0]?.code;
  };
  for (let board = 0; board < BOARDS_AN_HOUR; board += 1) expect(await make('a')).toBe('made');
  expect(await make('a')).toBe('too-many-boards');
  expect(await make('b')).toBe('made');
  now += 3_600_001;
  expect(await make('a')).toBe('made');
});

test('metrics tell of rooms, sockets, changes, refusals by reason, writes and the event loop, and of nobody', async () => {
  const it = await stage();
  it.attacker.peer.edit('lead', (doc) => writePasses(doc, 3));
  it.leader.peer.edit('lead', (doc) => writePasses(doc, 3));
  await it.leader.peer.settled();
  await it.attacker.peer.settled();
  const text = it.server.host.metrics();
  // Source: Prometheus text exposition format 0.0.4, "Comments, help text, and type information", "Line format".
  for (const line of text.trimEnd().split('\n'))
    expect(line).toMatch(/^(# (HELP|TYPE) [a-z_]+ .+|[a-z_]+(\{[a-z]+="[^"]*"\})? [\d.e+-]+)$/);
  const value = (name: string) =>
    Number(
      text
        .split('\n')
        .find((line) => line.startsWith(`${name} `))
        ?.split(' ')[1],
    );
  expect(value('passround_rooms')).toBe(1);
  expect(value('passround_sockets')).toBe(4);
  expect(value('passround_boards')).toBe(1);
  expect(value('passround_updates_total')).toBe(5);
  expect(value('passround_refusals_total{code="not-yours"}')).toBe(1);
  expect(value('passround_write_seconds_count')).toBeGreaterThan(3);
  expect(value('passround_write_seconds_bucket{le="+Inf"}')).toBe(
    value('passround_write_seconds_count'),
  );
  expect(value('process_resident_memory_bytes')).toBeGreaterThan(1e7);
  for (const secret of [it.board.id, it.leader.me.participant, 'Alder'])
    expect(text).not.toContain(secret);
});

test('a server that stops hands over: every change that was sent is there for the next', async () => {
  const it = await stage();
  it.leader.peer.edit('lead', (doc) => writePasses(doc, 13));
  await it.leader.peer.heard();
  await it.server.stop();
  expect(it.leader.peer.closed?.code).toBe(1012);
  const next = await startTestServer({ config: it.server.config });
  const peer = await Peer.joined(next, it.board, it.leader.me);
  expect(peer.sees?.passes).toBe(13);
});
