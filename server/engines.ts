import type { Ms } from '../lib/units';
import { serverNow } from './clock';
import type { Codes } from './codes';
import { LocalCodes } from './codes';
import type { Config } from './config';
import type { Report } from './failure';
import { PlainFailure } from './failure';
import type { Fanout } from './fanout/fanout';
import { LOCAL_FANOUT } from './fanout/local';
import type { NodesWorld } from './fanout/nodes';
import { Nodes } from './fanout/nodes';
import { RedisFanout } from './fanout/redis';
import type { RoomWorld } from './rooms/world';
import { SharedClock } from './shared-clock';
import { PostgresStore } from './store/postgres';
import type { SharedStore } from './store/shared';
import { SqliteStore } from './store/sqlite';
import type { Store } from './store/store';
import { StoreError, StoreInUse } from './store/store';

/** What a server stands on: where boards are kept, what time it is, and the other servers if there may be any. */
export interface Engines {
  readonly store: Store;
  readonly codes: Codes;
  readonly now: () => Ms;
  /** Signs cookies. */
  readonly secret: string;
  /** What rooms stand on. */
  readonly rooms: Pick<RoomWorld, 'store' | 'now' | 'share'>;
  /** The other servers, as far as they can be seen from here; absent: there are none. */
  readonly others?: Others;
  /** Lets go of everything, when no room is open any more. */
  readonly close: () => Promise<void>;
}

/** How it goes between this server, the database and the other servers. */
export interface Others {
  /** How many are heard. */
  readonly heard: number;
  /** How long the database has not answered. */
  readonly blindForMs: Ms;
}

/** The setting of the database under which servers share what signs cookies. */
export const SECRET_SETTING = 'secret';

function openFile(config: Config): Store {
  try {
    return new SqliteStore(config.dataDir);
  } catch (error) {
    if (error instanceof StoreInUse)
      throw new PlainFailure(
        `The data folder ${config.dataDir} is in use by another Passround; stop that one, or set DATA_DIR to another folder.`,
        { cause: error },
      );
    throw new PlainFailure(
      `The data folder ${config.dataDir} cannot be written (its database does not open); make it writable, or set DATA_DIR to another folder.`,
      { cause: error },
    );
  }
}

async function openDatabase(url: string): Promise<PostgresStore> {
  try {
    return await PostgresStore.open(url);
  } catch (error) {
    if (!(error instanceof StoreError)) throw error;
    const why = error.cause instanceof Error ? error.cause.message : String(error.cause);
    throw new PlainFailure(
      `The database of DATABASE_URL cannot be used (${why}); start it, or correct DATABASE_URL.`,
      { cause: error },
    );
  }
}

/** What tests may put in the place of ours. */
export interface GivenEngines {
  /** Absent: SQLite in the data folder. */
  readonly store?: Store;
  /** For a server among others. */
  readonly shared?: SharedOptions;
  readonly now?: () => Ms;
}

/** What tests may change of a server among others. */
export interface SharedOptions extends Pick<NodesWorld, 'roundMs' | 'silenceMs' | 'patienceMs'> {
  /** Stands in the place of Redis, or around it. */
  readonly fanout?: (real: Fanout) => Fanout;
  /** This server's own clock. */
  readonly local?: () => Ms;
  /** Stands in the place of PostgreSQL. */
  readonly store?: SharedStore;
}

/**
 * Opens what the configuration names.
 * @throws PlainFailure if something cannot be opened, in one sentence
 */
export async function openEngines(
  config: Config,
  report: Report,
  given: GivenEngines,
): Promise<Engines> {
  const { databaseUrl, secret } = config;
  if (databaseUrl !== undefined) return openShared(config, databaseUrl, report, given.shared ?? {});
  const { store = openFile(config), now = serverNow } = given;
  const codes = new LocalCodes(now);
  return { store, codes, now, secret, rooms: { store, now }, close: () => store.close() };
}

async function openShared(
  { redisUrl, secret, secretGiven }: Config,
  databaseUrl: string,
  report: Report,
  { fanout: around = (real) => real, local = serverNow, store: given, ...times }: SharedOptions,
): Promise<Engines> {
  const store = given ?? (await openDatabase(databaseUrl));
  const clock = new SharedClock(local, () => store.time());
  await clock.start(report);
  const real = redisUrl === undefined ? LOCAL_FANOUT : new RedisFanout(redisUrl, report);
  const nodes = new Nodes({ store, fanout: around(real), report, ...times });
  const now = () => clock.now();
  return {
    store,
    codes: store.codes(now),
    now,
    rooms: { store, now, share: (board) => nodes.open(board) },
    others: nodes,
    secret: secretGiven ? secret : await store.settle(SECRET_SETTING, secret),
    close: async () => {
      await nodes.close();
      clock.stop();
      await store.close();
    },
  };
}
