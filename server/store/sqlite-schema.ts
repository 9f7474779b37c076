import * as v from 'valibot';
import type { BoardId } from '../../lib/units';
import { POINT_REASONS } from '../../shared/board/past';
import type { DocumentName } from '../../shared/board/roles';
import { parseDocumentName, ROLES } from '../../shared/board/roles';
import { isBoardId } from '../links';

/** What is made where it is not there yet. */
export const SCHEMA = `
  CREATE TABLE IF NOT EXISTS boards (id TEXT PRIMARY KEY, created_ms REAL NOT NULL) WITHOUT ROWID;
  CREATE TABLE IF NOT EXISTS links (
    hash TEXT PRIMARY KEY, board TEXT NOT NULL REFERENCES boards(id) ON DELETE CASCADE, role TEXT NOT NULL
  ) WITHOUT ROWID;
  CREATE INDEX IF NOT EXISTS links_by_role ON links (board, role);
  CREATE TABLE IF NOT EXISTS updates (
    seq INTEGER PRIMARY KEY AUTOINCREMENT,
    board TEXT NOT NULL REFERENCES boards(id) ON DELETE CASCADE,
    document TEXT NOT NULL,
    bytes BLOB NOT NULL
  );
  CREATE INDEX IF NOT EXISTS updates_by_document ON updates (board, document, seq);
  CREATE TABLE IF NOT EXISTS uses (
    board TEXT PRIMARY KEY REFERENCES boards(id) ON DELETE CASCADE, used_ms REAL NOT NULL
  ) WITHOUT ROWID;
  CREATE TABLE IF NOT EXISTS ran (place INTEGER PRIMARY KEY CHECK (place = 1), at_ms REAL NOT NULL);
  CREATE TABLE IF NOT EXISTS points (
    board TEXT NOT NULL REFERENCES boards(id) ON DELETE CASCADE, number INTEGER NOT NULL,
    at_ms REAL NOT NULL, why TEXT NOT NULL, mark TEXT NOT NULL, size INTEGER NOT NULL,
    PRIMARY KEY (board, number)
  ) WITHOUT ROWID;
  CREATE TABLE IF NOT EXISTS point_documents (
    seq INTEGER PRIMARY KEY AUTOINCREMENT,
    board TEXT NOT NULL, number INTEGER NOT NULL, document TEXT NOT NULL, bytes BLOB NOT NULL,
    FOREIGN KEY (board, number) REFERENCES points ON DELETE CASCADE
  );
  CREATE INDEX IF NOT EXISTS point_documents_by_number ON point_documents (board, number, seq);
  CREATE TABLE IF NOT EXISTS journal (place INTEGER PRIMARY KEY CHECK (place = 1), token BLOB NOT NULL);
`;

const bytes = v.pipe(
  v.union([v.instance(Uint8Array), v.instance(ArrayBuffer)]),
  v.transform((value) => new Uint8Array(value)),
);
const name = v.custom<DocumentName>((value) => parseDocumentName(value) !== undefined);
export const updateRows = v.array(v.object({ document: name, bytes }));
export const linkRow = v.object({ hash: v.string(), board: v.string(), role: v.picklist(ROLES) });
export const hashRow = v.object({ hash: v.string() });
export const countRow = v.object({ count: v.number() });
/** When something was, if ever. */
export const timeRow = v.object({ at_ms: v.nullable(v.number()) });
export const idRows = v.array(v.object({ id: v.custom<BoardId>(isBoardId) }));
export const boardRows = v.array(
  v.object({ id: v.custom<BoardId>(isBoardId), created_ms: v.number() }),
);
export const pointRows = v.array(
  v.object({
    number: v.number(),
    at_ms: v.number(),
    why: v.picklist(POINT_REASONS),
    mark: v.string(),
    size: v.number(),
  }),
);
export const linkRows = v.array(v.object({ hash: v.string(), role: v.picklist(ROLES) }));
export const tokenRow = v.object({ token: bytes });
