import { mkdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { readConfig } from '../../server/config';
import { PlainFailure } from '../../server/failure';
import { startServer } from '../../server/serve';
import { startTestServer, testFolder } from '../kit/server';

describe('the environment', () => {
  test('has usual values: this machine alone, port 3000', () => {
    const DATA_DIR = join(testFolder(), 'made', 'for', 'it');
    const config = readConfig({ DATA_DIR });
    expect(config).toMatchObject({ host: '127.0.0.1', port: 3000, dataDir: DATA_DIR });
    expect(config.publicUrl).toBeUndefined();
    expect(statSync(DATA_DIR).isDirectory()).toBe(true);
  });

  test('a secret is made once, kept, and readable by this account alone', () => {
    const DATA_DIR = testFolder();
    const { secret } = readConfig({ DATA_DIR });
    expect(Buffer.from(secret, 'base64url').length * 8).toBe(256);
    expect(readConfig({ DATA_DIR }).secret).toBe(secret);
    if (process.platform !== 'win32')
      expect(statSync(join(DATA_DIR, 'secret')).mode & 0o777).toBe(0o600);
    expect(readConfig({ DATA_DIR: testFolder() }).secret).not.toBe(secret);
  });

  test('a secret that is given is used and not written down', () => {
    const DATA_DIR = testFolder();
    const SECRET = 'given by who runs the server';
    expect(readConfig({ DATA_DIR, SECRET }).secret).toBe(SECRET);
    expect(() => readFileSync(join(DATA_DIR, 'secret'))).toThrow();
  });

  test.each([
    ['PORT is no number', { PORT: 'http' }],
    ['PORT is too high', { PORT: '70000' }],
    ['PUBLIC_URL is no address', { PUBLIC_URL: 'board.example' }],
    ['PUBLIC_URL is no web address', { PUBLIC_URL: 'ftp://board.example' }],
    ['BOARD_IDLE_DAYS is nothing', { BOARD_IDLE_DAYS: '0' }],
    ['BOARD_IDLE_DAYS is no whole number', { BOARD_IDLE_DAYS: '1.5' }],
    ['SECRET is short', { SECRET: 'short' }],
    ['DATABASE_URL is of another database', { DATABASE_URL: 'mysql://host/board' }],
    ['REDIS_URL is no address', { DATABASE_URL: 'postgres://host/board', REDIS_URL: 'here' }],
    ['REDIS_URL stands alone', { REDIS_URL: 'redis://host' }],
  ])('where %s, one sentence says so', (_, env) => {
    const read = () => readConfig({ DATA_DIR: testFolder(), ...env });
    expect(read).toThrow(PlainFailure);
    expect(read).toThrow(/^[^\n]+\.$/);
  });

  test('where the data folder is a file, or its secret is damaged, one sentence says so', () => {
    const folder = testFolder();
    writeFileSync(join(folder, 'file'), '');
    expect(() => readConfig({ DATA_DIR: join(folder, 'file') })).toThrow(PlainFailure);
    mkdirSync(join(folder, 'damaged'));
    writeFileSync(join(folder, 'damaged', 'secret'), '');
    expect(() => readConfig({ DATA_DIR: join(folder, 'damaged') })).toThrow(PlainFailure);
  });
});

describe('a server', () => {
  test('that finds its port taken says so in one sentence and lets its data go', async () => {
    const first = await startTestServer();
    const config = { ...first.config, port: first.port, dataDir: testFolder() };
    await expect(startServer({ config })).rejects.toThrow(
      `Port ${first.port} on 127.0.0.1 is taken by another program; stop that one, or set PORT to another number.`,
    );
  });

  test('without pages answers 404, and its address works', async () => {
    const server = await startTestServer();
    expect((await fetch(server.address)).status).toBe(404);
  });

  test('hands requests to its pages, which find the host', async () => {
    const server = await startTestServer({
      pages: (request, response) => {
        response.end(`page ${request.url}`);
      },
    });
    expect(await (await fetch(`${server.address}/b/x`)).text()).toBe('page /b/x');
  });

  test('whose page breaks answers 500, says so once, and goes on', async () => {
    const server = await startTestServer({
      pages: () => Promise.reject(new Error('a fault of ours')),
    });
    for (const _ of [1, 2]) expect((await fetch(`${server.address}/b/x`)).status).toBe(500);
    expect(server.reports).toHaveLength(2);
  });

  test('goes on with its boards after it was stopped and started again', async () => {
    const first = await startTestServer();
    const board = await first.create();
    const { cookie, participant } = await first.visit(board, 'lead');
    const before = await first.host.readBoard(board.id);
    await first.stop();
    const second = await startTestServer({ config: first.config });
    expect(await second.host.readBoard(board.id)).toEqual(before);
    const visitor = await second.host.visitorOf(board.id, cookie);
    expect(visitor).toEqual({ participant, role: 'lead' });
    expect(second.host.health().boards).toBe(1);
  });
});
