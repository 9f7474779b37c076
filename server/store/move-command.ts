import { chmodSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Config } from '../config';
import { readConfig, SECRET_FILE } from '../config';
import { SECRET_SETTING } from '../engines';
import { PlainFailure } from '../failure';
import { moveBoards } from './move';
import { PostgresStore } from './postgres';
import { SqliteStore } from './sqlite';
import { StoreError, StoreInUse } from './store';

const USE = `Use: DATABASE_URL=postgres://… npm run move -- to-postgres
     DATABASE_URL=postgres://… npm run move -- to-sqlite
Copies every board between the data folder (DATA_DIR) and PostgreSQL, with the secret that signs cookies. Stop all servers first.`;

/** What stands in the way, in one sentence. */
function told(error: unknown): PlainFailure {
  if (error instanceof StoreInUse)
    return new PlainFailure('The data folder is in use: stop Passround first.', { cause: error });
  const cause = error instanceof StoreError && error.cause instanceof Error ? error.cause : error;
  const why = cause instanceof Error ? `${String(error)} (${cause.message})` : String(error);
  return new PlainFailure(`The boards were not moved: ${why}.`, { cause: error });
}

/** Copies boards, links and the secret one way. @returns how many boards @throws PlainFailure in one sentence */
async function move(config: Config, way: 'to-postgres' | 'to-sqlite'): Promise<number> {
  const { databaseUrl, dataDir } = config;
  if (databaseUrl === undefined) throw new PlainFailure(USE);
  try {
    const sqlite = new SqliteStore(dataDir);
    try {
      const postgres = await PostgresStore.open(databaseUrl);
      try {
        return await copy(config, way, sqlite, postgres);
      } finally {
        await postgres.close();
      }
    } finally {
      await sqlite.close();
    }
  } catch (error) {
    throw told(error);
  }
}

async function copy(
  { secret, secretGiven, dataDir }: Config,
  way: 'to-postgres' | 'to-sqlite',
  sqlite: SqliteStore,
  postgres: PostgresStore,
): Promise<number> {
  if (way === 'to-postgres') {
    const count = await moveBoards(sqlite, postgres);
    if (!secretGiven) await postgres.replace(SECRET_SETTING, secret);
    return count;
  }
  const count = await moveBoards(postgres, sqlite);
  if (secretGiven) return count;
  const path = join(dataDir, SECRET_FILE);
  writeFileSync(path, await postgres.settle(SECRET_SETTING, secret), { mode: 0o600 });
  chmodSync(path, 0o600);
  return count;
}

/** `npm run move -- to-postgres | to-sqlite` @returns the exit code */
export async function moveCommand(
  args: readonly string[],
  env: Readonly<Record<string, string | undefined>>,
  say: (line: string) => void,
): Promise<number> {
  const [way] = args;
  try {
    if (args.length !== 1 || (way !== 'to-postgres' && way !== 'to-sqlite'))
      throw new PlainFailure(USE);
    const count = await move(readConfig(env), way);
    say(`${count} boards were copied. Nothing was taken away where they came from.`);
    return 0;
  } catch (error) {
    if (!(error instanceof PlainFailure)) throw error;
    say(error.message);
    return 1;
  }
}
