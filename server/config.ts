import { randomBytes } from 'node:crypto';
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { errorCode, PlainFailure } from './failure';

/** What the environment decides, read once. */
export interface Config {
  readonly host: string;
  /** 0 lets the system choose. */
  readonly port: number;
  /** Absolute path; there and writable. */
  readonly dataDir: string;
  /** Where people reach us from outside, if it differs from host and port. */
  readonly publicUrl?: URL;
  /** Signs cookies. */
  readonly secret: string;
  /** Whether the environment gave the secret; otherwise nodes that share a database share the first one that was made. */
  readonly secretGiven: boolean;
  /** PostgreSQL, for several nodes; absent: SQLite in the data folder. */
  readonly databaseUrl?: string;
  /** Redis, by which several nodes tell one another what has changed. */
  readonly redisUrl?: string;
  /** How many proxies of ours stand in front, whose word about addresses is taken. */
  readonly proxies: number;
  /** Whoever shows this may take a copy of everything and delete boards; absent: nobody may. */
  readonly backupToken?: string;
  /** After how many days in which nobody opens it a board is deleted; absent: never. */
  readonly idleDays?: number;
  /** Whether what is told on stderr is JSON, a line each. */
  readonly jsonLog: boolean;
}

/** Where the data folder keeps what signs cookies. */
export const SECRET_FILE = 'secret';
/** Shortest SECRET that is taken. Source: 128 bit, as base64 or hex have at least. */
const MIN_SECRET = 22;

function readPort(given: string): number {
  const port = /^\d{1,5}$/.test(given) ? Number(given) : Number.NaN;
  if (!(port <= 65535))
    throw new PlainFailure(`PORT must be a whole number from 0 to 65535, not "${given}".`);
  return port;
}

function readProxies(given: string): number {
  if (!/^\d$/.test(given))
    throw new PlainFailure(
      `PROXIES must be how many proxies stand in front, from 0 to 9, not "${given}".`,
    );
  return Number(given);
}

function readIdleDays(given: string): number {
  const days = /^\d{1,4}$/.test(given) ? Number(given) : 0;
  if (days < 1)
    throw new PlainFailure(
      `BOARD_IDLE_DAYS must be a whole number of days from 1 to 9999, or be left out, not "${given}".`,
    );
  return days;
}

function readPublicUrl(given: string): URL {
  const url = URL.canParse(given) ? new URL(given) : undefined;
  if (url?.protocol !== 'http:' && url?.protocol !== 'https:')
    throw new PlainFailure(
      `PUBLIC_URL must be an address like https://board.example, not "${given}".`,
    );
  return url;
}

function readServerUrl(name: string, given: string, schemes: readonly string[]): string {
  const protocol = URL.canParse(given) ? new URL(given).protocol : '';
  if (!schemes.includes(protocol))
    throw new PlainFailure(`${name} must be an address like ${schemes[0]}//host/name.`);
  return given;
}

function readEngines(
  env: Readonly<Record<string, string | undefined>>,
): Pick<Config, 'databaseUrl' | 'redisUrl'> {
  if (env.REDIS_URL && !env.DATABASE_URL)
    throw new PlainFailure(
      'REDIS_URL is for several nodes on one PostgreSQL: set DATABASE_URL too, or leave both out.',
    );
  const database = ['postgres:', 'postgresql:'];
  return {
    ...(env.DATABASE_URL
      ? { databaseUrl: readServerUrl('DATABASE_URL', env.DATABASE_URL, database) }
      : {}),
    ...(env.REDIS_URL
      ? { redisUrl: readServerUrl('REDIS_URL', env.REDIS_URL, ['redis:', 'rediss:']) }
      : {}),
  };
}

function cannotWrite(folder: string, error: unknown): PlainFailure {
  const code = errorCode(error);
  const why = code === 'EEXIST' || code === 'ENOTDIR' ? 'there is a file in its place' : code;
  return new PlainFailure(
    `The data folder ${folder} cannot be written (${why}); make it writable, or set DATA_DIR to another folder.`,
    { cause: error },
  );
}

/** The secret that is kept in the data folder, made on first use and readable by this account only. */
function keptSecret(folder: string): string {
  const path = join(folder, SECRET_FILE);
  try {
    writeFileSync(path, randomBytes(32).toString('base64url'), { mode: 0o600, flag: 'wx' });
  } catch (error) {
    if (errorCode(error) !== 'EEXIST') throw cannotWrite(folder, error);
  }
  const kept = readFileSync(path, 'utf8').trim();
  if (kept.length < MIN_SECRET)
    throw new PlainFailure(
      `The file ${path} is damaged: delete it, and everybody opens their link once more.`,
    );
  return kept;
}

/**
 * The configuration of an environment; makes the data folder and its secret where they are missing.
 * @throws PlainFailure where a value cannot be used, in one sentence
 */
export function readConfig(env: Readonly<Record<string, string | undefined>>): Config {
  const port = readPort(env.PORT || '3000');
  const publicUrl = env.PUBLIC_URL ? readPublicUrl(env.PUBLIC_URL) : undefined;
  if (env.SECRET && env.SECRET.length < MIN_SECRET)
    throw new PlainFailure(`SECRET must have at least ${MIN_SECRET} characters, or be left out.`);
  if (env.BACKUP_TOKEN && env.BACKUP_TOKEN.length < MIN_SECRET)
    throw new PlainFailure(`BACKUP_TOKEN must have at least ${MIN_SECRET} characters.`);
  const dataDir = resolve(env.DATA_DIR || 'data');
  try {
    mkdirSync(dataDir, { recursive: true });
  } catch (error) {
    throw cannotWrite(dataDir, error);
  }
  return {
    host: env.HOST || '127.0.0.1',
    port,
    dataDir,
    ...(publicUrl ? { publicUrl } : {}),
    secret: env.SECRET || keptSecret(dataDir),
    secretGiven: Boolean(env.SECRET),
    ...readEngines(env),
    proxies: readProxies(env.PROXIES || '0'),
    ...(env.BACKUP_TOKEN ? { backupToken: env.BACKUP_TOKEN } : {}),
    ...(env.BOARD_IDLE_DAYS ? { idleDays: readIdleDays(env.BOARD_IDLE_DAYS) } : {}),
    jsonLog: env.LOG === 'json',
  };
}
