import pg from 'pg';
import * as v from 'valibot';
import { migrate } from './postgres-schema';
import { StoreError } from './store';

/** Connections of one node. Commits of several connections share one sync of PostgreSQL's log, so more boards cost little more. */
const CONNECTIONS = 10;
/** How long a node waits for a connection, and for an answer, ms. */
const CONNECT_PATIENCE = 5000;
const ANSWER_PATIENCE = 10_000;

/** A PostgreSQL database in the shape that this program knows: one statement at a time is asked, and what comes back is parsed. */
export class Database {
  private constructor(private readonly pool: pg.Pool) {}

  /** Opens it and brings it to that shape. @throws StoreError if it cannot be reached or is of a newer Passround */
  static async open(url: string): Promise<Database> {
    const pool = new pg.Pool({
      connectionString: url,
      max: CONNECTIONS,
      connectionTimeoutMillis: CONNECT_PATIENCE,
      query_timeout: ANSWER_PATIENCE,
      keepAlive: true,
      // What is told to be kept is on disk, whatever the database is set to.
      options: '-c synchronous_commit=on',
    });
    // A connection that ends while nobody uses it is replaced by the pool; whoever asks next is told if that fails.
    pool.on('error', () => undefined);
    try {
      const client = await pool.connect();
      // A broken connection rejects the query that is under way, too.
      const level = await migrate(client).finally(() => client.release());
      if (level === 'newer') throw new Error('it belongs to a newer Passround');
    } catch (error) {
      await pool.end();
      throw new StoreError('the database cannot be opened', { cause: error });
    }
    return new Database(pool);
  }

  /** @throws StoreError if it does not answer as it should */
  async write(text: string, values: readonly unknown[]): Promise<void> {
    await this.ask('written', text, values, v.unknown());
  }

  /** Writes and reads what the statement returns. @throws StoreError if it does not answer as it should */
  writeAndRead<Rows extends v.GenericSchema>(text: string, values: readonly unknown[], rows: Rows) {
    return this.ask('written', text, values, rows);
  }

  /** @throws StoreError if it does not answer as it should */
  read<Rows extends v.GenericSchema>(text: string, values: readonly unknown[], rows: Rows) {
    return this.ask('read', text, values, rows);
  }

  close(): Promise<void> {
    return this.pool.end();
  }

  private async ask<Rows extends v.GenericSchema>(
    what: string,
    text: string,
    values: readonly unknown[],
    rows: Rows,
  ): Promise<v.InferOutput<Rows>> {
    try {
      const answer = await this.pool.query(text, [...values]);
      return v.parse(rows, answer.rows);
    } catch (error) {
      throw new StoreError(`the database cannot be ${what}`, { cause: error });
    }
  }
}
