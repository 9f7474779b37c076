import * as v from 'valibot';
import type { BoardId } from '../../lib/units';
import { POINT_REASONS } from '../../shared/board/past';
import type { DocumentName } from '../../shared/board/roles';
import { parseDocumentName, ROLES } from '../../shared/board/roles';
import { isBoardId } from '../links';

/** What PostgreSQL answers, as we read it. */

const board = v.custom<BoardId>(isBoardId);
const role = v.picklist(ROLES);
const count = v.pipe(v.string(), v.transform(Number), v.safeInteger());
const name = v.custom<DocumentName>((value) => parseDocumentName(value) !== undefined);
const bytes = v.pipe(
  v.instance(Uint8Array),
  v.transform((value) => new Uint8Array(value)),
);
export const versionRows = v.array(v.object({ version: count }));
export const sinceRows = v.array(
  v.union([
    v.object({ version: count, document: name, bytes }),
    v.object({ version: count, document: v.null() }),
  ]),
);
export const pointDocumentRows = v.array(
  v.union([v.object({ document: name, bytes }), v.object({ document: v.null() })]),
);
export const numberRows = v.array(v.object({ number: v.number() }));
export const pointRows = v.array(
  v.object({
    number: v.number(),
    at_ms: v.number(),
    why: v.picklist(POINT_REASONS),
    mark: v.string(),
    size: v.number(),
  }),
);
export const idRows = v.array(v.object({ id: board }));
export const boardVersionRows = v.array(v.object({ id: board, version: count }));
export const linkRows = v.array(v.object({ hash: v.string(), board, role }));
export const hashRows = v.array(v.object({ hash: v.string() }));
export const countRow = v.tuple([v.object({ count })]);
export const timeRow = v.tuple([v.object({ ms: v.number() })]);
export const valueRow = v.tuple([v.object({ value: v.string() })]);
export const listRows = v.array(
  v.object({
    id: board,
    created_ms: v.number(),
    links: v.array(v.object({ role, hash: v.string() })),
  }),
);
