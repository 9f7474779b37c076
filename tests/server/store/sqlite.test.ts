import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { SqliteStore } from '../../../server/store/sqlite';
import { StoreError } from '../../../server/store/store';
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
