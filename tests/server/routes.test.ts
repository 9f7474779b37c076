import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Links } from '../kit/demo-visit';
import { agreedBoard } from '../kit/demo-visit';
import type { Program } from '../kit/program';
import { startProgram } from '../kit/program';
import { rawRequest } from '../kit/raw-request';
import type { Route } from '../kit/routes';
import { pathOf, routesOfApp } from '../kit/routes';

/** Every route of the app, asked in ways that no page of ours asks: an answer in words or none, never a fault of the server's. */
const ROUTES = routesOfApp();
let program: Program;
let board: Links;
let cookie: string;
beforeAll(async () => {
  program = await startProgram();
  board = await agreedBoard(program);
  const opened = await fetch(program.url + board.links.lead, { redirect: 'manual' });
  cookie = opened.headers.get('set-cookie')?.split(';')[0] ?? '';
}, 60_000);
afterAll(async () => {
  await program.end();
});

const port = () => Number(new URL(program.url).port);
/** The path of a route on the board that is there. */
function here(route: Route): string {
  const secret = board.links.watch.replace('/join/', '');
  return pathOf(route, { board: board.board, format: 'abc', point: '1', secret });
}

interface Asked {
  readonly method?: string;
  readonly headers?: readonly string[];
  readonly body?: string;
  /** Without a cookie: what takes long is then refused before it begins. */
  readonly stranger?: boolean;
}

/** One request over a line of its own, with a leader's cookie. */
function ask(
  target: string,
  { method = 'GET', headers = [], body = '', stranger = false }: Asked = {},
) {
  const host = headers.some((line) => /^host:/i.test(line)) ? [] : [`Host: 127.0.0.1:${port()}`];
  const own = [...host, ...(stranger ? [] : [`Cookie: ${cookie}`]), 'Connection: close'];
  const length =
    body === '' || headers.some((line) => /^content-length:/i.test(line))
      ? []
      : [`Content-Length: ${body.length}`];
  const head = [`${method} ${target} HTTP/1.1`, ...own, ...headers, ...length];
  return rawRequest(port(), `${head.join('\r\n')}\r\n\r\n${body}`);
}

/** What no answer may say: where the program lies, or where in it something went wrong. */
const LEAK =
  /\n\s+at \S+ \(|node_modules|\/server\/\w+\.ts|\/tmp\/|\/home\/|TypeError|RangeError|ERR_[A-Z]/;
/** Statuses from 500 on that say something in words: no browser to print with, no place, no method of that name. */
const TOLD = [501, 503];

function isWell(answer: Awaited<ReturnType<typeof rawRequest>>, what: string): void {
  expect(answer.closed, `${what} was never answered`).toBe(true);
  for (const status of answer.statuses)
    expect(status < 500 || TOLD.includes(status), `${what}: ${answer.text.slice(0, 300)}`).toBe(
      true,
    );
  const head = answer.text.split('\r\n\r\n')[0] ?? '';
  const isMarkup = /content-type: (text\/html|text\/x-component|text\/javascript)/i.test(head);
  if (!isMarkup) expect(answer.text, what).not.toMatch(LEAK);
  expect(head, what).not.toMatch(/^location: (\/\/|https?:\/\/(?!127\.0\.0\.1))/im);
}

async function stillServes(): Promise<void> {
  expect((await fetch(`${program.url}/api/health`)).status).toBe(200);
}

test('the folder was read', () => {
  const patterns = ROUTES.map(({ pattern }) => pattern);
  for (const known of ['/', '/b/[board]', '/b/[board]/play/book', '/api/boards', '/join/[secret]'])
    expect(patterns).toContain(known);
  expect(ROUTES.filter(({ kind }) => kind === 'page').length).toBeGreaterThanOrEqual(8);
  expect(ROUTES.filter(({ kind }) => kind === 'route').length).toBeGreaterThanOrEqual(14);
  expect(ROUTES.filter(({ methods }) => methods.length === 0)).toEqual([]);
});

describe.each(ROUTES.map((route) => [route.pattern, route] as const))('%s', (_, route) => {
  const stranger = /backup|export\/(pdf|wav)$/.test(route.pattern);

  test('is there, and answers as it says', async () => {
    const method = route.methods[0] ?? 'GET';
    const { statuses } = await ask(here(route), { method, stranger });
    expect(statuses).toHaveLength(1);
    expect(stranger ? [403, 404] : [200, 204, 303, 400, 404]).toContain(statuses[0]);
  });

  test('wrong methods are refused', async () => {
    for (const method of [
      'OPTIONS',
      'PUT',
      'PATCH',
      'DELETE',
      'TRACE',
      'PROPFIND',
      'HEAD',
      'POST',
    ]) {
      if (route.methods.includes(method)) continue;
      const answer = await ask(here(route), { method });
      isWell(answer, `${method} ${route.pattern}`);
      expect(answer.statuses, method).toHaveLength(1);
    }
  });

  test('bodies that are none', async () => {
    const bodies: readonly (readonly [string, string])[] = [
      ['application/json', '{"tune":'],
      ['application/json', '\xff\xfe\x00{'],
      ['application/json', '[[[[[[[[null'],
      ['application/json', '{"__proto__":{"tune":{"demo":true}}}'],
      ['application/json; charset=utf-7', '+AHs-'],
      ['application/json; charset=nonsense', '{}'],
      ['multipart/form-data', 'no boundary'],
      [
        'multipart/form-data; boundary=x',
        '--x\r\nContent-Disposition: form-data; name="1_$ACTION_ID_x"\r\n\r\n{}\r\n--x--',
      ],
      ['application/x-www-form-urlencoded', '%E0%A4%A=%&&&==&link=%00'],
      ['text/plain', ''],
      ['', '\x00\x01\x02'],
    ];
    for (const method of ['POST', 'PUT', 'GET'])
      for (const [type, body] of bodies) {
        const headers = type === '' ? [] : [`Content-Type: ${type}`];
        isWell(
          await ask(here(route), { method, headers, body, stranger }),
          `${method} ${route.pattern} ${type} ${body}`,
        );
      }
  });

  test('odd questions', async () => {
    const queries = [
      'pass=1&pass=2&key=a&key=b&block=plain&block=plain',
      Array.from({ length: 2000 }, (_, n) => `k${n}=${n}`)
        .join('&')
        .slice(0, 12_000),
      `key=${'x'.repeat(12_000)}`,
      'pass=%E0%A4%A&key=%00&name=%ff%fe&holds=%',
      '__proto__=1&constructor=2&toString=3&hasOwnProperty=4',
      'pass[]=1&pass[x]=2&=&&?#',
      'block=%F0%9F%AA%95&paper=%3Cscript%3E&large=%22%3E',
    ];
    const method = route.methods[0] ?? 'GET';
    for (const query of queries)
      isWell(
        await ask(`${here(route)}?${query}`, { method, stranger }),
        `${route.pattern}?${query.slice(0, 60)}`,
      );
  });

  test('values that are none in the place of its names', async () => {
    const values = [
      '..%2f..%2f',
      '%2e%2e',
      '%00',
      '%',
      '%ff',
      'constructor',
      '__proto__',
      'x'.repeat(4000),
      '%5B%5D',
      '%0d%0aX:%20y',
      '[board]',
      '-1',
      '1e400',
      'NaN',
    ];
    for (const value of values) {
      const path = pathOf(route, { board: value, format: value, point: value, secret: value });
      for (const method of route.methods.slice(0, 1))
        isWell(await ask(path, { method }), `${method} ${path.slice(0, 80)}`);
      const known = pathOf(route, {
        board: board.board,
        format: value,
        point: value,
        secret: value,
      });
      if (known !== path) isWell(await ask(known, { stranger }), `GET ${known.slice(0, 80)}`);
    }
  });

  test('what only the pages themselves send', async () => {
    const heads = [
      ['RSC: 1'],
      ['RSC: 1', 'Next-Router-State-Tree: nonsense'],
      ['RSC: 1', 'Next-Router-State-Tree: %5B%22%22'],
      ['RSC: 1', `Next-Router-State-Tree: ${'%5B'.repeat(3000)}`],
      ['RSC: 1', 'Next-Router-Prefetch: 1', 'Next-Router-Segment-Prefetch: /../x'],
      ['Next-Action: x'],
      ['Next-Action: 00000000000000000000000000000000000000000000', 'Content-Type: text/plain'],
      ['x-nextjs-data: 1'],
      ['x-middleware-subrequest: a:a:a:a:a'],
      ['x-invoke-path: /', 'x-invoke-status: 500', 'x-matched-path: /api/backup'],
      ['x-now-route-matches: 1=x', 'x-next-resume: 1'],
      ['x-http-method-override: DELETE'],
      ['If-None-Match: *', 'If-Modified-Since: nonsense', 'Range: bytes=9-1,-,x'],
      ['Accept-Encoding: nonsense;q=x, *;q=0', 'Accept: */*;q=9', 'Accept-Language: \xff'],
      ['Content-Security-Policy: script-src *', "Content-Security-Policy: 'nonce-\"><script>'"],
      [
        'X-Forwarded-Host: evil.example',
        'X-Forwarded-Proto: nonsense',
        'X-Forwarded-Port: -1',
        'Forwarded: host=evil.example',
      ],
    ];
    for (const headers of heads)
      for (const method of ['GET', 'POST'])
        isWell(
          await ask(here(route), { method, headers, stranger }),
          `${method} ${route.pattern} ${headers.join()}`,
        );
  });
});

describe('lines that are no requests of ours', () => {
  const targets = [
    'http://evil.example/',
    'http://evil.example/api/health',
    'https://evil.example:99999/',
    '//evil.example/',
    '///evil.example//b//x',
    '/\\evil.example/',
    '//',
    '/b//abcdefghijkl',
    '/b/../api/health',
    '/b/%2e%2e/%2e%2e/etc/passwd',
    '/..%2f..%2f..%2fetc%2fpasswd',
    '/_next/static/..%2f..%2f..%2fpackage.json',
    '/_next/static/%2e%2e/%2e%2e/server/app/page.js',
    '/_next/image?url=%2Fapi%2Fhealth&w=64&q=75',
    '/_next/image?url=http%3A%2F%2F127.0.0.1%2F&w=64&q=75',
    '/_next/image?url=%2F..%2F&w=NaN&q=1e9',
    '/_next/data/x/index.json',
    '/_next/webpack-hmr',
    '/__nextjs_original-stack-frames',
    '/_error',
    '/_not-found',
    '/500',
    '/%',
    '/%ff',
    '/%00',
    '/\xff\xfe',
    '/?%',
    '/#x',
    '*',
    'x',
    `/${'a'.repeat(14_000)}`,
    `/${'a/'.repeat(5000)}`,
    '/.git/config',
    '/.next/BUILD_ID',
    '/package.json',
    '/server/limits.ts',
    '/data/passround.sqlite',
  ];
  test.each(targets.map((target) => [target.slice(0, 60), target] as const))(
    'target %s',
    async (_, target) => {
      for (const method of ['GET', 'HEAD', 'POST', 'OPTIONS'])
        isWell(await ask(target, { method }), `${method} ${target.slice(0, 80)}`);
      await stillServes();
    },
  );

  const hosts: readonly (readonly string[])[] = [
    ['Host:'],
    ['Host: [', 'X: y'],
    ['Host: a b'],
    ['Host: @'],
    ['Host: a/b?c#d'],
    ['Host: evil.example:99999'],
    ['Host: \xff'],
    ['Host: a', 'Host: b'],
    [`Host: ${'a'.repeat(5000)}`],
    ['Host: evil.example', 'Origin: http://evil.example'],
  ];
  test.each(hosts.map((headers) => [headers.join().slice(0, 60), headers] as const))(
    '%s',
    async (_, headers) => {
      for (const route of [
        '/',
        `/b/${board.board}`,
        '/api/health',
        `/api/boards/${board.board}/export/abc`,
        board.links.watch,
        '/nowhere',
        '//',
      ])
        for (const method of ['GET', 'POST'])
          isWell(
            await ask(route, { method, headers }),
            `${method} ${route} ${headers.join().slice(0, 60)}`,
          );
      await stillServes();
    },
  );

  test('the whole address as the target is read as its path', async () => {
    const answer = await ask('http://elsewhere.example/api/health?x=1');
    expect(answer.statuses).toEqual([200]);
    expect(answer.text).toContain('"uptimeSeconds"');
  });

  const others: readonly (readonly [string, () => string])[] = [
    ['no host in 1.1', () => 'GET / HTTP/1.1\r\nConnection: close\r\n\r\n'],
    ['HTTP/1.0', () => 'GET / HTTP/1.0\r\n\r\n'],
    ['HTTP/1.0 on a board', () => `GET /b/${board.board} HTTP/1.0\r\nCookie: ${cookie}\r\n\r\n`],
    ['HTTP/2.0', () => 'GET / HTTP/2.0\r\nHost: x\r\n\r\n'],
    ['the preface of HTTP/2', () => 'PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n'],
    ['HTTP/0.9', () => 'GET /\r\n\r\n'],
    ['a TLS hello', () => '\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03'],
    ['CONNECT', () => 'CONNECT evil.example:443 HTTP/1.1\r\nHost: evil.example:443\r\n\r\n'],
    [
      'an upgrade to h2c',
      () =>
        'GET / HTTP/1.1\r\nHost: x\r\nConnection: Upgrade, HTTP2-Settings\r\nUpgrade: h2c\r\nHTTP2-Settings: AAMAAABkAAQAAP__\r\n\r\n',
    ],
    [
      'an upgrade to nonsense',
      () => 'GET / HTTP/1.1\r\nHost: x\r\nConnection: Upgrade\r\nUpgrade: nonsense/9\r\n\r\n',
    ],
    [
      'a socket where none is',
      () =>
        'GET /nowhere HTTP/1.1\r\nHost: x\r\nConnection: Upgrade\r\nUpgrade: websocket\r\nSec-WebSocket-Version: 13\r\nSec-WebSocket-Key: AAAAAAAAAAAAAAAAAAAAAA==\r\n\r\n',
    ],
    [
      'a socket with a broken key',
      () =>
        `GET /sync/${board.board} HTTP/1.1\r\nHost: x\r\nCookie: ${cookie}\r\nConnection: Upgrade\r\nUpgrade: websocket\r\nSec-WebSocket-Version: 99\r\nSec-WebSocket-Key: x\r\n\r\n`,
    ],
    [
      'POST that upgrades',
      () =>
        `POST /sync/${board.board} HTTP/1.1\r\nHost: x\r\nCookie: ${cookie}\r\nConnection: Upgrade\r\nUpgrade: websocket\r\nContent-Length: 3\r\n\r\nabc`,
    ],
    [
      'the sockets without an upgrade',
      () => `GET /sync/${board.board} HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n`,
    ],
    [
      'very many headers',
      () => `GET / HTTP/1.1\r\nHost: x\r\nConnection: close\r\n${'x: y\r\n'.repeat(2500)}\r\n`,
    ],
    ['headers without an end', () => `GET / HTTP/1.1\r\nHost: x\r\nA: ${'x'.repeat(40_000)}`],
    ['a header without a name', () => 'GET / HTTP/1.1\r\nHost: x\r\n: y\r\n\r\n'],
    [
      'a header over two lines',
      () => 'GET / HTTP/1.1\r\nHost: x\r\nA: b\r\n c\r\nConnection: close\r\n\r\n',
    ],
    [
      'two lengths',
      () => 'POST / HTTP/1.1\r\nHost: x\r\nContent-Length: 1\r\nContent-Length: 2\r\n\r\nab',
    ],
    [
      'a length and chunks',
      () =>
        'POST / HTTP/1.1\r\nHost: x\r\nContent-Length: 3\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n',
    ],
    ['a length below nothing', () => 'POST / HTTP/1.1\r\nHost: x\r\nContent-Length: -1\r\n\r\n'],
    [
      'an expectation',
      () =>
        'POST /api/boards HTTP/1.1\r\nHost: x\r\nExpect: nonsense\r\nContent-Length: 2\r\nConnection: close\r\n\r\n{}',
    ],
    [
      'a body after Expect: 100',
      () =>
        'POST /api/boards HTTP/1.1\r\nHost: x\r\nExpect: 100-continue\r\nContent-Length: 2\r\nConnection: close\r\n\r\n{}',
    ],
  ];
  test.each(others)('%s', async (what, bytes) => {
    isWell(await rawRequest(port(), bytes()), what);
    await stillServes();
  });

  test('an upgrade that nobody takes is answered in words', async () => {
    for (const [what, bytes] of others.filter(([name]) => /upgrade to|where none is/.test(name)))
      expect((await rawRequest(port(), bytes())).statuses, what).toEqual([400]);
  });

  test('many requests in one piece are answered one by one, in order', async () => {
    const one = 'GET /api/health HTTP/1.1\r\nHost: x\r\n\r\n';
    const last = `GET /nowhere HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n`;
    const { statuses, closed } = await rawRequest(port(), one.repeat(200) + last);
    expect(closed).toBe(true);
    expect(statuses).toEqual([...Array.from({ length: 200 }, () => 200), 404]);
  });
});
