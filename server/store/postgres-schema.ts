import type { PoolClient } from 'pg';
import * as v from 'valibot';

/** Any number that no other program of this database locks; all nodes use the same. */
const MIGRATION_LOCK = 7_146_903_221;

/** What changes the database from one shape to the next. What stands here is never edited again; a new shape is a new entry. */
const MIGRATIONS: readonly string[] = [
  `
  CREATE TABLE passround.boards (
    id text PRIMARY KEY,
    created_ms double precision NOT NULL,
    version bigint NOT NULL
  );
  CREATE TABLE passround.links (
    hash text PRIMARY KEY,
    board text NOT NULL REFERENCES passround.boards ON DELETE CASCADE,
    role text NOT NULL
  );
  CREATE INDEX ON passround.links (board, role);
  CREATE TABLE passround.updates (
    board text NOT NULL REFERENCES passround.boards ON DELETE CASCADE,
    number bigint NOT NULL,
    document text NOT NULL,
    bytes bytea NOT NULL,
    PRIMARY KEY (board, number)
  );
  CREATE INDEX ON passround.updates (board, document);
  CREATE TABLE passround.settings (name text PRIMARY KEY, value text NOT NULL);
  `,
  // `code_tries` counts nothing any more; it stays for nodes of an older program, while they are replaced one by one.
  `
  CREATE TABLE passround.codes (
    board text NOT NULL REFERENCES passround.boards ON DELETE CASCADE,
    participant text NOT NULL,
    role text NOT NULL,
    hash text NOT NULL,
    until_ms double precision NOT NULL,
    PRIMARY KEY (board, participant)
  );
  CREATE TABLE passround.code_tries (
    board text PRIMARY KEY REFERENCES passround.boards ON DELETE CASCADE,
    count int NOT NULL,
    until_ms double precision NOT NULL
  );
  `,
  `
  CREATE TABLE passround.points (
    board text NOT NULL REFERENCES passround.boards ON DELETE CASCADE,
    number int NOT NULL,
    at_ms double precision NOT NULL,
    why text NOT NULL,
    mark text NOT NULL,
    size int NOT NULL,
    PRIMARY KEY (board, number)
  );
  CREATE TABLE passround.point_documents (
    board text NOT NULL,
    number int NOT NULL,
    place int NOT NULL,
    document text NOT NULL,
    bytes bytea NOT NULL,
    PRIMARY KEY (board, number, place),
    FOREIGN KEY (board, number) REFERENCES passround.points ON DELETE CASCADE
  );
  `,
  `
  CREATE TABLE passround.uses (
    board text PRIMARY KEY REFERENCES passround.boards ON DELETE CASCADE,
    used_ms double precision NOT NULL
  );
  `,
  `
  CREATE TABLE passround.gone (
    board text NOT NULL REFERENCES passround.boards ON DELETE CASCADE,
    document text NOT NULL,
    PRIMARY KEY (board, document)
  );
  `,
];

const levelRow = v.tuple([v.object({ level: v.number() })]);

/**
 * Brings a database to the shape that this program knows; several nodes may do so at once, and one does it.
 * @returns whether the database is of a newer program, and then nothing was changed
 */
export async function migrate(client: PoolClient): Promise<'ready' | 'newer'> {
  await client.query('BEGIN');
  try {
    await client.query('SELECT pg_advisory_xact_lock($1)', [MIGRATION_LOCK]);
    await client.query('CREATE SCHEMA IF NOT EXISTS passround');
    await client.query(
      'CREATE TABLE IF NOT EXISTS passround.migrations (level int PRIMARY KEY, at timestamptz NOT NULL DEFAULT now())',
    );
    const { rows } = await client.query(
      'SELECT coalesce(max(level), 0) AS level FROM passround.migrations',
    );
    const [{ level }] = v.parse(levelRow, rows);
    for (const [index, statements] of MIGRATIONS.entries()) {
      if (index < level) continue;
      await client.query(statements);
      await client.query('INSERT INTO passround.migrations (level) VALUES ($1)', [index + 1]);
    }
    await client.query('COMMIT');
    return level > MIGRATIONS.length ? 'newer' : 'ready';
  } catch (error) {
    await client.query('ROLLBACK');
    throw error;
  }
}
