import * as v from 'valibot';
import { MAX_PASSES } from '../../lib/passes/limits';
import type { Problem, Result } from '../../lib/result';
import { fail, ok } from '../../lib/result';
import { checkFill } from '../../lib/tab/fill';
import type { PlainMeasure, Tune } from '../../lib/tune';
import { measureOf } from '../../lib/tune';
import { hasFret } from '../../lib/tuning';
import { ROLES } from '../board/roles';
import type { Board } from '../board/schema';
import { plainValue, tuneValue, tuneValueOf } from '../board/tune-value';
import * as values from '../board/values';

/**
 * A board as a JSON file, which starts a new board elsewhere. Version 1. Times are ticks (480 a quarter), strings and frets as everywhere.
 *
 * - `format` "passround-board", `version` 1, `holds` "music" or "board".
 * - `tune`: title, tuning (an id), capo, drone (semitones), meter ("4/4"), key, tempo (the meter's beats a minute), form, and parts with
 *   their measures in order.
 * - `plan`, if something is agreed: for each pass what stands in each measure, and the strokes of all that it plays.
 * - "board" adds people, variants in order of arrival (hidden ones marked), approvals by person, all that leaders have set, and the
 *   measures that are laid aside, with their part and how many of its measures stand before them. What belongs to a place is not in it:
 *   links, who was removed, the transport; nor are votes for what is laid aside.
 */
const SAVED_FORMAT = 'passround-board';
const SAVED_VERSION = 1;

/** Most people and variants of a saved board: a large workshop, several times over. */
const MAX_PEOPLE = 300;
const MAX_VARIANTS = 5000;
const MAX_APPROVALS = 5000;

const music = v.object({
  format: v.literal(SAVED_FORMAT),
  version: v.literal(SAVED_VERSION),
  holds: v.picklist(['music', 'board']),
  tune: tuneValue,
  plan: v.exactOptional(values.planValue),
});

const variant = v.object({
  id: v.string(),
  author: values.participantKey,
  ...values.proposalValue.entries,
  hidden: v.exactOptional(v.literal(true)),
});

const lockedPass = v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(MAX_PASSES));

const lock = v.variant('kind', [
  v.object({
    kind: v.literal('cell'),
    pass: lockedPass,
    measure: values.measureKey,
    choice: v.string(),
  }),
  v.object({ kind: v.literal('plain-pass'), pass: lockedPass }),
]);

const name = v.pipe(v.string(), v.maxLength(values.MAX_NAME));

/** What a file that holds a whole board has beside the music. */
const group = v.object({
  people: v.pipe(
    v.array(v.object({ id: values.participantKey, role: v.picklist(ROLES), name })),
    v.maxLength(MAX_PEOPLE),
  ),
  variants: v.pipe(v.array(variant), v.maxLength(MAX_VARIANTS)),
  approvals: v.record(v.string(), v.pipe(v.array(v.string()), v.maxLength(MAX_APPROVALS))),
  voting: v.picklist(['open', 'closed', 'agreed']),
  passes: values.passesValue,
  level: values.levelValue,
  planning: v.object({
    rule: values.ruleValue,
    carry: values.switchValue,
    plainFirst: values.switchValue,
    locks: v.pipe(v.array(lock), v.maxLength(MAX_APPROVALS)),
  }),
  overruled: v.record(v.string(), v.string()),
  laidAside: v.optional(
    v.pipe(
      v.array(
        v.object({
          part: values.measureValue.entries.part,
          index: v.pipe(v.number(), v.integer(), v.minValue(0), v.maxValue(values.MAX_MEASURES)),
          measure: plainValue,
        }),
      ),
      v.maxLength(values.MAX_ASIDE),
    ),
    [],
  ),
  orders: v.object({
    frozen: v.boolean(),
    secretBallots: v.boolean(),
    shut: v.array(values.measureKey),
    called: v.record(v.string(), name),
  }),
});

/** A saved board that was read: the music, and the group's part of it where the file holds a whole board. */
export interface SavedBoard {
  readonly tune: Tune;
  readonly plan?: v.InferOutput<typeof values.planValue>;
  readonly group?: v.InferOutput<typeof group>;
}

export type SavedProblem = Problem<
  'not-saved' | 'other-version' | 'saved-shape' | 'saved-tune',
  { readonly path?: string }
>;

/** Most problems that are told at once. */
const MAX_PROBLEMS = 5;

function shapeProblems(issues: readonly v.BaseIssue<unknown>[]): readonly SavedProblem[] {
  return issues.slice(0, MAX_PROBLEMS).map((issue) => {
    const path = v.getDotPath(issue) ?? undefined;
    const what = path === undefined ? 'The saved board' : `"${path}" in the saved board`;
    const where = path === undefined ? {} : { path };
    return { code: 'saved-shape', where, words: `${what} cannot be used: ${issue.message}.` };
  });
}

function measureProblems(tune: Tune, measure: PlainMeasure, path: string): readonly SavedProblem[] {
  const { startsAt, ticks, strokes } = measure;
  const tell = (words: string): SavedProblem => ({ code: 'saved-tune', where: { path }, words });
  if (startsAt + ticks > tune.meter.measure)
    return [tell(`"${path}" in the saved board is longer than a measure of ${tune.meter.name}.`)];
  const fill = checkFill(measureOf(tune.meter, measure)).slice(0, 1);
  const missing = strokes
    .flatMap(({ notes }) => notes)
    .find(({ string, fret }) => !hasFret(tune.neck, string, fret));
  return [
    ...fill.map(({ words }) => tell(`"${path}" in the saved board does not add up. ${words}`)),
    ...(missing
      ? [
          tell(
            `"${path}" in the saved board: string ${missing.string} has no fret ${missing.fret}.`,
          ),
        ]
      : []),
  ];
}

/** What the shape cannot say: parts and measures have names of their own, the form names parts, measures add up. */
function tuneProblems(tune: Tune): readonly SavedProblem[] {
  const letters = tune.parts.map(({ letter }) => letter);
  const ids = tune.parts.flatMap(({ measures }) => measures.map(({ id }) => id));
  const tell = (path: string, words: string): readonly SavedProblem[] => [
    { code: 'saved-tune', where: { path }, words },
  ];
  if (new Set(letters).size < letters.length)
    return tell('tune.parts', 'Two parts of the saved tune have one letter.');
  if (new Set(ids).size < ids.length)
    return tell('tune.parts', 'Two measures of the saved tune have one id.');
  if (ids.length > values.MAX_MEASURES)
    return tell('tune.parts', `The saved tune has more than ${values.MAX_MEASURES} measures.`);
  const unknown = tune.form.find((letter) => !letters.includes(letter));
  if (unknown !== undefined)
    return tell(
      'tune.form',
      `The form of the saved tune names part ${unknown}, which is not there.`,
    );
  return tune.parts.flatMap(({ measures }, p) =>
    measures.flatMap((one, m) => measureProblems(tune, one, `tune.parts.${p}.measures.${m}`)),
  );
}

function isRecord(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null;
}

/** A saved board from a foreign value, or everything that is wrong with it, by its path in the file. */
export function parseSavedBoard(value: unknown): Result<SavedBoard, SavedProblem> {
  if (!isRecord(value) || value.format !== SAVED_FORMAT) {
    const words = `This is no saved board: its "format" is not "${SAVED_FORMAT}".`;
    return fail({ code: 'not-saved', where: { path: 'format' }, words });
  }
  if (value.version !== SAVED_VERSION) {
    const words = `The board was saved as version ${JSON.stringify(value.version)?.slice(0, 20)}; version ${SAVED_VERSION} can be read here.`;
    return fail({ code: 'other-version', where: { path: 'version' }, words });
  }
  const head = v.safeParse(music, value);
  if (!head.success) return fail(...shapeProblems(head.issues));
  const { plan, holds, tune } = head.output;
  const problems = tuneProblems(tune).slice(0, MAX_PROBLEMS);
  if (problems.length > 0) return fail(...problems);
  const own = { tune, ...(plan ? { plan } : {}) };
  if (holds === 'music') return ok(own);
  const rest = v.safeParse(group, value);
  return rest.success ? ok({ ...own, group: rest.output }) : fail(...shapeProblems(rest.issues));
}

/** The plan without the names of those whose variants it plays. */
function nameless(plan: Board['plan']): Board['plan'] {
  return (
    plan && {
      ...plan,
      variants: Object.fromEntries(
        Object.entries(plan.variants).map(([id, one]) => [id, { ...one, by: '' }]),
      ),
    }
  );
}

/** A tune alone as the value that is saved, from which a new board starts. */
export function savedMusicOf(tune: Tune): Readonly<Record<string, unknown>> {
  return {
    format: SAVED_FORMAT,
    version: SAVED_VERSION,
    holds: 'music',
    tune: tuneValueOf(tune),
  };
}

/**
 * A board as the value that is saved.
 * @param holds "music": the tune and the agreed passes, without anybody's name; "board": everything, votes included
 */
export function savedBoardOf(
  board: Board,
  holds: 'music' | 'board',
): Readonly<Record<string, unknown>> {
  const head = { ...savedMusicOf(board.tune), holds };
  if (holds === 'music') return board.plan ? { ...head, plan: nameless(board.plan) } : head;
  const { people, approvals, voting, passes, level, planning, overruled, plan, orders } = board;
  const { hidden, ...ordered } = orders;
  const { laidAside } = board;
  const variants = [
    ...board.variants,
    ...laidAside.flatMap((one) => one.variants),
    ...hidden.map((one) => ({ ...one, hidden: true as const })),
  ].sort((a, b) => a.arrived - b.arrived);
  return {
    ...head,
    // Who is counted as somebody else is in it under that one.
    people: people.filter(({ counted }) => counted === undefined),
    variants: variants.map(({ arrived: _, ...one }) => one),
    approvals,
    voting,
    passes,
    level,
    planning,
    overruled,
    laidAside: laidAside.map(({ variants: _, ...one }) => one),
    orders: ordered,
    ...(plan ? { plan } : {}),
  };
}
