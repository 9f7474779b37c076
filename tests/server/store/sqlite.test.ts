import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { SqliteStore } from '../../../server/store/sqlite';
import { StoreError, StoreInUse } from '../../../server/store/store';
import { testFolder } from '../../kit/server';
import { storeConforms } from './conformance';

storeConforms('SQLite', () => {
  let folder: string | undefined;
  return () => {
    folder ??= testFolder();
    return new SqliteStore(folder);
  };
});

test('a file that is no database is told, not overwritten', () => {
  const folder = testFolder();
  writeFileSync(join(folder, 'passround.sqlite'), 'this is a letter to my aunt\n'.repeat(400));
  expect(() => new SqliteStore(folder)).toThrow(StoreError);
});

test('a folder that is not there is told', () => {
  expect(() => new SqliteStore(join(testFolder(), 'nowhere'))).toThrow(StoreError);
});

test('a folder that another store has open is told, and free again when that one is closed', async () => {
  const folder = testFolder();
  const first = new SqliteStore(folder);
  expect(() => new SqliteStore(folder)).toThrow(StoreInUse);
  await first.close();
  await new SqliteStore(folder).close();
});
