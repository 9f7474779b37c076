import * as v from 'valibot';
import * as Y from 'yjs';
import { alternatives, arrange } from '../lib/arrange/arrange';
import { readAbc } from '../lib/formats/abc/read';
import type { Melody } from '../lib/melody';
import type { Result } from '../lib/result';
import { fail, ok } from '../lib/result';
import type { Tune } from '../lib/tune';
import type { Neck } from '../lib/tuning';
import { MAX_CAPO, neckOf, TUNINGS, tuningById } from '../lib/tuning';
import type { BoardId } from '../lib/units';
import type { CreateBoard } from '../shared/api/create-board';
import { createBoard } from '../shared/api/create-board';
import type { SettingOffer } from '../shared/api/problem';
import { demoDocuments } from '../shared/board/demo';
import { DocumentFamily } from '../shared/board/documents';
import { readBoard } from '../shared/board/read';
import { MAX_TEMPO, MAX_TITLE, MIN_TEMPO } from '../shared/board/values';
import { writeTune } from '../shared/board/write';
import type { CreateProblem } from './host';
import type { LoggedUpdate } from './store/store';

/** A board that is ready to be kept. */
export interface Draft {
  readonly entries: readonly LoggedUpdate[];
  /** What was understood but left out or changed on the way in. */
  readonly remarks: readonly string[];
}

const SHAPE =
  'Send JSON like { "tune": { "abc": "…" } } or { "tune": { "demo": true } }, with "title", "tuning" and "capo" if you like.';

function shapeProblem(issue: v.BaseIssue<unknown>): CreateProblem {
  const path = v.getDotPath(issue) ?? undefined;
  return {
    code: 'bad-request',
    where: path === undefined ? {} : { path },
    words: `${path === undefined ? 'The request' : `"${path}"`} cannot be used. ${SHAPE}`,
  };
}

function neckFrom({ tuning, capo = 0 }: CreateBoard): Result<Neck | undefined, CreateProblem> {
  if (tuning === undefined && capo === 0) return ok(undefined);
  const known = tuningById(tuning ?? 'gDGBD');
  if (!known) {
    const names = TUNINGS.map(({ id }) => id).join(', ');
    const words = `No tuning is called "${tuning?.slice(0, 20)}". Choose one of ${names}, or leave it out.`;
    return fail({ code: 'no-such-tuning', where: { path: 'tuning' }, words });
  }
  if (capo < 0 || capo > MAX_CAPO)
    return fail({
      code: 'no-such-capo',
      where: { path: 'capo' },
      words: `A capo sits at a fret from 1 to ${MAX_CAPO}; 0 is none.`,
    });
  return ok(neckOf(known, capo));
}

/** The tune with what a board can hold of its title and tempo, and what was changed. */
function fitted(tune: Tune): { readonly tune: Tune; readonly remarks: readonly string[] } {
  const title = tune.title.slice(0, MAX_TITLE);
  const tempo = Math.min(MAX_TEMPO, Math.max(MIN_TEMPO, tune.tempo));
  const remarks = [
    ...(title === tune.title ? [] : [`The title was cut to ${MAX_TITLE} characters.`]),
    ...(tempo === tune.tempo ? [] : [`The tempo was set to ${tempo} instead of ${tune.tempo}.`]),
  ];
  return { tune: { ...tune, title, tempo }, remarks };
}

/** How many other settings are offered for a tune that does not lie on the neck. */
const MAX_OFFERS = 4;

function offersFor(melody: Melody): readonly SettingOffer[] {
  return alternatives(melody)
    .slice(0, MAX_OFFERS)
    .map(({ neck, transpose, words }) => ({
      tuning: neck.tuning.id,
      capo: neck.capo,
      transpose,
      words,
    }));
}

function documentsFromAbc(
  abc: string,
  request: CreateBoard,
): Result<{ family: DocumentFamily; remarks: readonly string[] }, CreateProblem> {
  const neck = neckFrom(request);
  if (!neck.ok) return neck;
  const read = readAbc(abc);
  if (!read.ok) return read;
  const { melody } = read.value;
  const { transpose } = request;
  const arranged = arrange(melody, {
    ...(neck.value ? { neck: neck.value } : {}),
    ...(transpose === undefined ? {} : { transpose }),
  });
  if (!arranged.ok) {
    const offers = offersFor(melody);
    return fail(...arranged.problems.map((problem) => ({ ...problem, offers })));
  }
  const title = request.title || arranged.value.tune.title;
  const fit = fitted({ ...arranged.value.tune, title });
  const family = new DocumentFamily();
  writeTune(family.lead, fit.tune);
  const remarks = [...read.value.remarks, ...arranged.value.remarks, ...fit.remarks];
  return ok({ family, remarks });
}

function entriesOf(family: DocumentFamily): readonly LoggedUpdate[] {
  return family
    .names()
    .map((document) => ({ document, update: Y.encodeStateAsUpdate(family.open(document)) }));
}

/** The documents of a new board as a request describes it, or everything that stands in the way. */
export function draftBoard(id: BoardId, body: unknown): Result<Draft, CreateProblem> {
  const request = v.safeParse(createBoard, body);
  if (!request.success) return fail(...request.issues.slice(0, 5).map(shapeProblem));
  const { tune } = request.output;
  const made =
    'abc' in tune
      ? documentsFromAbc(tune.abc, request.output)
      : ok({ family: demoDocuments(), remarks: [] });
  if (!made.ok) return made;
  const { family, remarks } = made.value;
  const problem = readBoard(id, family)?.leftOut[0];
  if (problem || !readBoard(id, family)) {
    const words = `A board cannot hold this tune. ${problem?.words ?? ''}`.trim();
    return fail({ code: 'cannot-hold', where: {}, words });
  }
  return ok({ entries: entriesOf(family), remarks });
}
