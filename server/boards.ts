import * as v from 'valibot';
import * as Y from 'yjs';
import type { Result } from '../lib/result';
import { fail, ok } from '../lib/result';
import type { BoardId } from '../lib/units';
import { createBoard } from '../shared/api/create-board';
import type { DocumentFamily } from '../shared/board/documents';
import { readBoard } from '../shared/board/read';
import type { CreateProblem } from './host';
import type { LoggedUpdate } from './store/store';
import { newDocuments } from './tunes';

/** A board that is ready to be kept. */
export interface Draft {
  readonly entries: readonly LoggedUpdate[];
  /** What was understood but left out or changed on the way in. */
  readonly remarks: readonly string[];
}

const SHAPE =
  'Send JSON like { "tune": { "abc": "…" } }, or "musicxml" (text), "mxl" or "midi" (base64), "board" (a saved one) or "demo": true in its place, with "title", "tuning" and "capo" if you like.';

function shapeProblem(issue: v.BaseIssue<unknown>): CreateProblem {
  const path = v.getDotPath(issue) ?? undefined;
  return {
    code: 'bad-request',
    where: path === undefined ? {} : { path },
    words: `${path === undefined ? 'The request' : `"${path}"`} cannot be used. ${SHAPE}`,
  };
}

function entriesOf(family: DocumentFamily): readonly LoggedUpdate[] {
  return family
    .names()
    .map((document) => ({ document, update: Y.encodeStateAsUpdate(family.open(document)) }));
}

/** `draftBoard` of a request's body as it came. */
export function draftFromText(id: BoardId, text: string): Result<Draft, CreateProblem> {
  try {
    return draftBoard(id, JSON.parse(text));
  } catch (error) {
    if (!(error instanceof SyntaxError)) throw error;
    const words = 'The request is not JSON. Send { "tune": { "abc": "…" } }.';
    return fail({ code: 'not-json', where: {}, words });
  }
}

/** The documents of a new board as a request describes it, or everything that stands in the way. */
export function draftBoard(id: BoardId, body: unknown): Result<Draft, CreateProblem> {
  const request = v.safeParse(createBoard, body);
  if (!request.success) return fail(...request.issues.slice(0, 5).map(shapeProblem));
  const made = newDocuments(request.output);
  if (!made.ok) return made;
  const { family, remarks } = made.value;
  const problem = readBoard(id, family)?.leftOut[0];
  if (problem || !readBoard(id, family)) {
    const words = `A board cannot hold this tune. ${problem?.words ?? ''}`.trim();
    return fail({ code: 'cannot-hold', where: {}, words });
  }
  return ok({ entries: entriesOf(family), remarks });
}
