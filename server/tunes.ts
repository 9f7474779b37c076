import { alternatives, arrange } from '../lib/arrange/arrange';
import { readAbc } from '../lib/formats/abc/read';
import { readMidi } from '../lib/formats/midi/read';
import type { MusicXmlOptions } from '../lib/formats/musicxml/read';
import { readMusicXml } from '../lib/formats/musicxml/read';
import type { Melody } from '../lib/melody';
import type { Result } from '../lib/result';
import { fail, ok } from '../lib/result';
import type { Tune } from '../lib/tune';
import type { Neck } from '../lib/tuning';
import { MAX_CAPO, neckOf, TUNINGS, tuningById } from '../lib/tuning';
import type { CreateBoard } from '../shared/api/create-board';
import type { SettingOffer } from '../shared/api/problem';
import { parseSavedBoard } from '../shared/api/saved-board';
import { demoDocuments } from '../shared/board/demo';
import { DocumentFamily } from '../shared/board/documents';
import { fitted } from '../shared/board/fitted';
import { restored } from '../shared/board/saved';
import { writeHead, writeTune } from '../shared/board/write';
import type { CreateProblem } from './host';

/** The documents of a new board, and what was understood but left out or changed on the way in. */
export interface NewDocuments {
  readonly family: DocumentFamily;
  readonly remarks: readonly string[];
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

function fromTune(tune: Tune, request: CreateBoard, remarks: readonly string[]): NewDocuments {
  const fit = fitted({ ...tune, title: request.title || tune.title });
  const family = new DocumentFamily();
  writeTune(family.lead, fit.tune);
  return { family, remarks: [...remarks, ...fit.remarks] };
}

function fromMelody(
  melody: Melody,
  request: CreateBoard,
  remarks: readonly string[],
): Result<NewDocuments, CreateProblem> {
  const neck = neckFrom(request);
  if (!neck.ok) return neck;
  const { transpose } = request;
  const arranged = arrange(melody, {
    ...(neck.value ? { neck: neck.value } : {}),
    ...(transpose === undefined ? {} : { transpose }),
  });
  if (arranged.ok)
    return ok(fromTune(arranged.value.tune, request, [...remarks, ...arranged.value.remarks]));
  const offers = offersFor(melody);
  return fail(...arranged.problems.map((problem) => ({ ...problem, offers })));
}

/** What was asked for beside a tune that is taken as it stands. */
function unheeded({ tuning, capo, transpose }: CreateBoard, what: string): readonly string[] {
  const asked = tuning !== undefined || capo !== undefined || transpose !== undefined;
  return asked ? [`The ${what} is taken as it is, so tuning, capo and transposition stay.`] : [];
}

function fromMusicXml(
  source: string | Uint8Array,
  options: MusicXmlOptions,
  request: CreateBoard,
): Result<NewDocuments, CreateProblem> {
  const read = readMusicXml(source, options);
  if (!read.ok) return read;
  const { remarks } = read.value;
  if (read.value.kind === 'melody') return fromMelody(read.value.melody, request, remarks);
  return ok(fromTune(read.value.tune, request, [...unheeded(request, 'tab'), ...remarks]));
}

function fromSaved(value: unknown, request: CreateBoard): Result<NewDocuments, CreateProblem> {
  const saved = parseSavedBoard(value);
  if (!saved.ok)
    return fail(
      ...saved.problems.map((problem) => {
        const path = problem.where.path;
        return { ...problem, where: { path: path ? `tune.board.${path}` : 'tune.board' } };
      }),
    );
  const { family, remarks } = restored(saved.value);
  if (request.title) writeHead(family.lead, { title: request.title });
  return ok({ family, remarks: [...unheeded(request, 'saved board'), ...remarks] });
}

function chosenIn({
  part,
  voice,
}: {
  readonly part?: string | undefined;
  readonly voice?: string | undefined;
}): MusicXmlOptions {
  return { ...(part === undefined ? {} : { part }), ...(voice === undefined ? {} : { voice }) };
}

function bytesFrom(base64: string): Uint8Array {
  return new Uint8Array(Buffer.from(base64, 'base64'));
}

/** The documents of a new board from the tune that a request brings, whatever it comes as; or everything that stands in the way. */
export function newDocuments(request: CreateBoard): Result<NewDocuments, CreateProblem> {
  const neck = neckFrom(request);
  if (!neck.ok) return neck;
  const { tune } = request;
  if ('musicxml' in tune) return fromMusicXml(tune.musicxml, chosenIn(tune), request);
  if ('mxl' in tune) return fromMusicXml(bytesFrom(tune.mxl), chosenIn(tune), request);
  if ('board' in tune) return fromSaved(tune.board, request);
  if ('demo' in tune) return ok({ family: demoDocuments(), remarks: [] });
  if ('midi' in tune) {
    const { track } = tune;
    const read = readMidi(bytesFrom(tune.midi), track === undefined ? {} : { track });
    return read.ok ? fromMelody(read.value.melody, request, read.value.remarks) : read;
  }
  const { number } = tune;
  const read = readAbc(tune.abc, number === undefined ? {} : { tune: number });
  return read.ok ? fromMelody(read.value.melody, request, read.value.remarks) : read;
}
