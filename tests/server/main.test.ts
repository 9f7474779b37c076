import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { writeFileSync } from 'node:fs';
import { type AddressInfo, createServer } from 'node:net';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { startTestServer, testFolder } from '../kit/server';

/** The program as `npm start` runs it, to its end. */
async function run(env: Readonly<Record<string, string>>) {
  const child = spawn(process.execPath, ['--import', 'tsx', 'server/main.ts'], {
    env: { ...process.env, NEXT_TELEMETRY_DISABLED: '1', ...env },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  onTestFinished(() => {
    child.kill('SIGKILL');
  });
  const said = { out: '', err: '' };
  child.stdout.on('data', (chunk) => {
    said.out += chunk;
  });
  child.stderr.on('data', (chunk) => {
    said.err += chunk;
  });
  const [code] = await once(child, 'close');
  return { code, ...said };
}

test('a taken port is one plain sentence and exit code 1', async () => {
  const other = createServer().listen(0, '127.0.0.1');
  onTestFinished(() => {
    other.close();
  });
  await once(other, 'listening');
  const { port } = other.address() as AddressInfo;
  expect(await run({ PORT: `${port}`, DATA_DIR: testFolder() })).toEqual({
    code: 1,
    out: '',
    err: `Port ${port} on 127.0.0.1 is taken by another program; stop that one, or set PORT to another number.\n`,
  });
});

test('a data folder that cannot be used is one plain sentence and exit code 1', async () => {
  const file = join(testFolder(), 'file');
  writeFileSync(file, '');
  expect(await run({ PORT: '0', DATA_DIR: file })).toEqual({
    code: 1,
    out: '',
    err: `The data folder ${file} cannot be written (there is a file in its place); make it writable, or set DATA_DIR to another folder.\n`,
  });
});

test('a data folder that another server has open is one plain sentence and exit code 1', async () => {
  const { config } = await startTestServer();
  expect(await run({ PORT: '0', DATA_DIR: config.dataDir })).toEqual({
    code: 1,
    out: '',
    err: `The data folder ${config.dataDir} is in use by another Passround; stop that one, or set DATA_DIR to another folder.\n`,
  });
});
