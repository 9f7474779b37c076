import { existsSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { type AddressInfo, createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { checkAddress, checkDataFolder, readAddress } from '../../../server/launch/address.mjs';

describe('where the server listens', () => {
  test.each([
    [{}, { host: '127.0.0.1', port: 3000 }],
    [
      { PORT: '', HOST: '' },
      { host: '127.0.0.1', port: 3000 },
    ],
    [
      { PORT: '0', HOST: '0.0.0.0' },
      { host: '0.0.0.0', port: 0 },
    ],
    [
      { PORT: '65535', HOST: '::1' },
      { host: '::1', port: 65535 },
    ],
  ])('%o is %o', (env, address) => {
    expect(readAddress(env)).toEqual(address);
  });

  test.each(['65536', '-1', '3000.5', 'http', ' 80', '1e3'])('"%s" is no port', (PORT) => {
    expect(() => readAddress({ PORT })).toThrow(
      `PORT must be a whole number from 0 to 65535, not "${PORT}".`,
    );
  });
});

describe('an address is tried before anything slow', () => {
  test('a taken port is told with its number', async () => {
    const other = createServer();
    await new Promise<void>((done) => other.listen(0, '127.0.0.1', done));
    const { port } = other.address() as AddressInfo;
    try {
      await expect(checkAddress({ host: '127.0.0.1', port })).rejects.toThrow(
        `Port ${port} on 127.0.0.1 is taken by another program; stop that one, or set PORT to another number.`,
      );
    } finally {
      await new Promise((done) => other.close(done));
    }
    await expect(checkAddress({ host: '127.0.0.1', port })).resolves.toBeUndefined();
  });

  // 192.0.2.0/24 is set aside for documentation, so no machine has it (RFC 5737, section 3).
  test('a host of some other machine is told', async () => {
    await expect(checkAddress({ host: '192.0.2.1', port: 0 })).rejects.toThrow(
      'HOST is "192.0.2.1", which is no address of this machine',
    );
  });
});

describe('the data folder is tried before anything slow', () => {
  test('it is made if need be, and nothing is left in it', () => {
    const base = mkdtempSync(join(tmpdir(), 'passround-data-'));
    const folder = join(base, 'new', 'data');
    try {
      checkDataFolder(folder);
      expect(existsSync(folder)).toBe(true);
      expect(readdirSync(folder)).toEqual([]);
    } finally {
      rmSync(base, { recursive: true });
    }
  });

  test('a file in its place is told with its path', () => {
    const base = mkdtempSync(join(tmpdir(), 'passround-data-'));
    const file = join(base, 'data');
    writeFileSync(file, 'a file');
    try {
      expect(() => checkDataFolder(file)).toThrow(
        `The data folder ${file} cannot be written (there is a file in its place);`,
      );
    } finally {
      rmSync(base, { recursive: true });
    }
  });
});
