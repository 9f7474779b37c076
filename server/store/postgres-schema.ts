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
  // Each locks the row of the board in a statement before: one that waits for a lock by itself sees what was there before it waited. Functions, so that no lock is held
  // while a node on a slow line is told that it has it.
  // keep_point: board, moment, why, mark, size, names and bytes of the documents; the point's number. Of what is gone nothing is kept, whatever the node knows.
  // renew_link: board, role, hash.
  // append_gone: as the statement of an append, and the documents are gone for good: cleared in kept points, too, and noted for nodes that have not heard of it.
  `
  CREATE FUNCTION passround.keep_point(text, float8, text, text, int, text[], bytea[])
  RETURNS SETOF int LANGUAGE plpgsql AS $$
  BEGIN
    PERFORM id FROM passround.boards WHERE id = $1 FOR UPDATE;
    RETURN QUERY
    WITH point AS (
      INSERT INTO passround.points (board, number, at_ms, why, mark, size)
      SELECT id, coalesce((SELECT max(number) FROM passround.points WHERE board = $1), 0) + 1, $2, $3, $4, $5
      FROM passround.boards WHERE id = $1 RETURNING number
    ), documents AS (
      INSERT INTO passround.point_documents (board, number, place, document, bytes)
      SELECT $1, point.number, entry.place, entry.document, entry.bytes
      FROM point, unnest($6, $7) WITH ORDINALITY AS entry (document, bytes, place)
      WHERE NOT EXISTS (
        SELECT FROM passround.gone WHERE gone.board = $1 AND gone.document = entry.document
      )
    )
    SELECT number FROM point;
  END $$;
  CREATE FUNCTION passround.append_gone(text, bigint, text[], text[], bytea[])
  RETURNS SETOF bigint LANGUAGE plpgsql AS $$
  BEGIN
    PERFORM id FROM passround.boards WHERE id = $1 FOR UPDATE;
    RETURN QUERY
    WITH turn AS (
      UPDATE passround.boards SET version = version + cardinality($4)
      WHERE id = $1 AND version = coalesce($2, version)
      RETURNING version
    ), cleared AS (
      DELETE FROM passround.updates
      WHERE board = $1 AND document = ANY($3) AND EXISTS (SELECT FROM turn)
    ), forgotten AS (
      DELETE FROM passround.point_documents
      WHERE board = $1 AND document = ANY($3) AND EXISTS (SELECT FROM turn)
    ), noted AS (
      INSERT INTO passround.gone (board, document)
      SELECT $1, name FROM unnest($3) AS name WHERE EXISTS (SELECT FROM turn)
      ON CONFLICT DO NOTHING
    ), added AS (
      INSERT INTO passround.updates (board, number, document, bytes)
      SELECT $1, turn.version - cardinality($4) + entry.place, entry.document, entry.bytes
      FROM turn, unnest($4, $5) WITH ORDINALITY AS entry (document, bytes, place)
    )
    SELECT version FROM turn;
  END $$;
  CREATE FUNCTION passround.renew_link(text, text, text)
  RETURNS void LANGUAGE plpgsql AS $$
  BEGIN
    PERFORM id FROM passround.boards WHERE id = $1 FOR UPDATE;
    DELETE FROM passround.links WHERE board = $1 AND role = $2;
    INSERT INTO passround.links (hash, board, role) VALUES ($3, $1, $2);
  END $$;
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
