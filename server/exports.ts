import { toAbc } from '../lib/formats/abc/write';
import { toMidi } from '../lib/formats/midi/write';
import { toMusicXml } from '../lib/formats/musicxml/write';
import type { WrittenPass } from '../lib/formats/pass';
import { PLAIN_PASS } from '../lib/formats/pass';
import type { Result } from '../lib/result';
import { fail, ok } from '../lib/result';
import type { ExportFile, ExportProblem, ExportWish } from '../shared/api/export-file';
import { savedBoardOf } from '../shared/api/saved-board';
import { planToPlay } from '../shared/board/plan-to-play';
import type { Board, Plan } from '../shared/board/schema';

type Choice = 'plain' | 'all' | number;

interface Format {
  readonly ending: string;
  readonly type: string;
  readonly write: (board: Board, passes: readonly WrittenPass[]) => string | Uint8Array;
  readonly plainOnly?: true;
}

/** Content types: W3C MusicXML 4.0, IANA's registry for the others; MIDI files have none there but the usual one. */
const FORMATS: Readonly<Record<string, Format>> = {
  musicxml: {
    ending: 'musicxml',
    type: 'application/vnd.recordare.musicxml+xml; charset=utf-8',
    write: ({ tune }, passes) => toMusicXml({ tune, passes }),
  },
  midi: {
    ending: 'mid',
    type: 'audio/midi',
    write: ({ tune }, passes) => toMidi({ tune, passes }),
  },
  abc: {
    ending: 'abc',
    type: 'text/vnd.abc; charset=utf-8',
    write: ({ tune }) => toAbc(tune),
    plainOnly: true,
  },
};

/** The whole board or its music alone, as a file that starts a new board elsewhere. */
function savedFile(board: Board, holds: string | undefined): Result<ExportFile, ExportProblem> {
  if (holds !== undefined && holds !== 'music' && holds !== 'board') {
    const words = `A file holds no "${holds.slice(0, 20)}". Ask for holds=board or holds=music.`;
    return fail({ code: 'no-such-holding', where: { query: 'holds' }, words });
  }
  const saved = savedBoardOf(board, holds ?? 'board');
  return ok({
    name: fileName(board.tune.title, 'all', holds === 'music' ? 'music.json' : 'board.json'),
    type: 'application/json',
    body: JSON.stringify(saved, undefined, 2),
  });
}

/** A pass of the plan with its strokes (from 1). */
function writtenPass(plan: Plan, number: number): WrittenPass {
  const chosen = Object.entries(plan.passes[number - 1] ?? {});
  const strokes = chosen.flatMap(([measure, id]) => {
    const variant = plan.variants[id];
    return variant ? [[measure, variant.strokes] as const] : [];
  });
  return { name: `Pass ${number}`, strokes: Object.fromEntries(strokes) };
}

function passesFor(plan: Plan, choice: Choice): readonly WrittenPass[] {
  if (choice === 'plain') return [PLAIN_PASS];
  if (choice !== 'all') return [writtenPass(plan, choice)];
  return plan.passes.map((_, i) => writtenPass(plan, i + 1));
}

function choiceFrom(pass: string | undefined, board: Board, plan: Plan): Choice | undefined {
  if (pass === undefined) return board.plan ? 'all' : 'plain';
  if (pass === 'plain' || pass === 'all') return pass;
  const number = /^[1-9]\d?$/.test(pass) ? Number(pass) : 0;
  return number >= 1 && number <= plan.passes.length ? number : undefined;
}

function noSuchPass(pass: string | undefined, plan: Plan): ExportProblem {
  const count = plan.passes.length;
  const there = count === 1 ? 'pass=1' : `pass=1 to pass=${count}`;
  const words = `There is no pass "${(pass ?? '').slice(0, 20)}". Ask for pass=plain, pass=all, or ${there}.`;
  return { code: 'no-such-pass', where: { query: 'pass' }, words };
}

/** A title as a file name: letters and digits with hyphens between, accents taken off. */
function fileName(title: string, choice: Choice, ending: string): string {
  const plain = title.normalize('NFKD').replace(/\p{M}/gu, '').toLowerCase();
  const words = plain.match(/[a-z0-9]+/g) ?? ['tune'];
  const which = choice === 'all' ? '' : choice === 'plain' ? '-plain' : `-pass-${choice}`;
  return `${words.join('-').slice(0, 60)}${which}.${ending}`;
}

/**
 * The board as a file, or why there is none. ABC holds the plain melody only, JSON everything.
 * Source of formats: MusicXML 4.0, Standard MIDI Files 1.0, ABC 2.1.
 */
export function exportFile(board: Board, wish: ExportWish): Result<ExportFile, ExportProblem> {
  if (wish.format === 'json') return savedFile(board, wish.holds);
  const format = Object.hasOwn(FORMATS, wish.format) ? FORMATS[wish.format] : undefined;
  if (!format) {
    const known = Object.keys(FORMATS).join(', ');
    const words = `A board cannot be taken away as "${wish.format.slice(0, 20)}". Ask for ${known}, json or wav.`;
    return fail({ code: 'no-such-format', where: { path: 'format' }, words });
  }
  const plan = planToPlay(board);
  const pass = format.plainOnly ? (wish.pass ?? 'plain') : wish.pass;
  const choice = choiceFrom(pass, board, plan);
  if (choice === undefined) return fail(noSuchPass(pass, plan));
  if (format.plainOnly && choice !== 'plain') {
    const words =
      'ABC holds the melody of the plain tune only. Ask for pass=plain, or for MusicXML or MIDI.';
    return fail({ code: 'plain-only', where: { query: 'pass' }, words });
  }
  return ok({
    name: fileName(board.tune.title, choice, format.ending),
    type: format.type,
    body: format.write(board, passesFor(plan, choice)),
  });
}
