import type { Problem, Result } from '../result';
import { fail, ok } from '../result';
import { isStringNumber } from '../units';
import type { By, Note, Stroke } from './measure';
import { BY } from './measure';

export type StrokeProblem = Problem<
  | 'not-strokes'
  | 'too-many-strokes'
  | 'stroke-shape'
  | 'stroke-time'
  | 'stroke-kind'
  | 'note-shape',
  /** Index of the stroke, or undefined where the whole list is meant. */
  { readonly stroke?: number }
>;

/** More strokes than any measure holds: twice as many as there are triplet places in eight slots. */
const MAX_STROKES = 48;
const MAX_TICKS = 4 * 1920;
const MAX_FRET = 24;

function isWholeBetween(value: unknown, low: number, high: number): value is number {
  return typeof value === 'number' && Number.isInteger(value) && value >= low && value <= high;
}

function isRecord(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

function parseNotes(value: unknown): readonly Note[] | undefined {
  if (!Array.isArray(value) || value.length > 5) return undefined;
  const notes: Note[] = [];
  for (const item of value as readonly unknown[]) {
    if (!isRecord(item) || !isStringNumber(item.string)) return undefined;
    if (!isWholeBetween(item.fret, 0, MAX_FRET)) return undefined;
    if (notes.some((note) => note.string === item.string)) return undefined;
    notes.push({ string: item.string, fret: item.fret });
  }
  return notes.sort((a, b) => a.string - b.string);
}

function parseStroke(value: unknown, stroke: number): Result<Stroke, StrokeProblem> {
  const where = { stroke };
  const words = (what: string) => `Stroke ${stroke + 1} ${what}.`;
  if (!isRecord(value))
    return fail({ code: 'stroke-shape', where, words: words('cannot be read') });
  const { at, length, by } = value;
  if (!isWholeBetween(at, 0, MAX_TICKS) || !isWholeBetween(length, 1, MAX_TICKS))
    return fail({ code: 'stroke-time', where, words: words('has no whole time and length') });
  const kind = BY.find((known) => known === by) as By | undefined;
  if (kind === undefined)
    return fail({ code: 'stroke-kind', where, words: words('is of a kind nobody knows') });
  const notes = parseNotes(value.notes);
  if (notes === undefined || (kind === 'rest') !== (notes.length === 0))
    return fail({ code: 'note-shape', where, words: words('names no readable strings and frets') });
  return ok({ at, length, by: kind, notes });
}

/**
 * Strokes from a foreign value (a document, a file, a socket): the right shape, or all problems. Whether they fill a
 * measure and can be played is another question (`checkFill`, `checkPicking`).
 */
export function parseStrokes(value: unknown): Result<readonly Stroke[], StrokeProblem> {
  if (!Array.isArray(value))
    return fail({ code: 'not-strokes', where: {}, words: 'These are not strokes.' });
  if (value.length > MAX_STROKES)
    return fail({
      code: 'too-many-strokes',
      where: {},
      words: `A measure holds at most ${MAX_STROKES} strokes.`,
    });
  const parsed = (value as readonly unknown[]).map(parseStroke);
  const problems = parsed.flatMap((result) => (result.ok ? [] : result.problems));
  if (problems.length > 0) return fail(...problems);
  return ok(parsed.flatMap((result) => (result.ok ? [result.value] : [])));
}
