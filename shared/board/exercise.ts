import * as v from 'valibot';
import type * as Y from 'yjs';
import type { PlainMeasure, Tune } from '../../lib/tune';
import type { MeasureId, Ms, ParticipantId } from '../../lib/units';
import type { BoardDocuments } from './documents';
import { LEAD_DOCUMENT, saidBy } from './roles';
import type { Exercise, LeftOut, Variant } from './schema';
import { LEAD, SAID } from './schema';
import { claimValue, exerciseValue, measureKey } from './values';

/** An exercise: who sets it, who has which measure of it, and what was put forward in it. */

/** What a leader sets. */
export type ExerciseTask = Omit<Exercise, 'owners'>;

const MINUTE: Ms = 60_000;

/** When it is over, server ms. */
export function endOf({ atMs, minutes }: ExerciseTask): Ms {
  return atMs + minutes * MINUTE;
}

/** Its measures, as they stand on paper; none where one of its ends is no longer there. */
export function exerciseMeasures(
  { parts }: Pick<Tune, 'parts'>,
  { from, to }: Pick<ExerciseTask, 'from' | 'to'>,
): readonly PlainMeasure[] {
  const all = parts.flatMap(({ measures }) => measures);
  const ends = [from, to].map((end) => all.findIndex(({ id }) => id === end));
  const [first, last] = [Math.min(...ends), Math.max(...ends)];
  return first < 0 ? [] : all.slice(first, last + 1);
}

interface Claim {
  readonly measure: MeasureId;
  readonly by: ParticipantId;
  readonly atMs: Ms;
}

/** Everybody's claims in the exercise that began at `atMs`. A claim from before it began is none. */
function claimsIn(
  { said }: BoardDocuments,
  atMs: Ms,
  report: (problem: LeftOut) => void,
): readonly Claim[] {
  const claims: Claim[] = [];
  for (const [by, document] of said)
    for (const [key, raw] of document.getMap(SAID.claims).entries()) {
      const measure = v.safeParse(measureKey, key);
      const claim = v.safeParse(claimValue, raw);
      if (!measure.success || !claim.success) {
        const where = { document: saidBy(by), key: key.slice(0, 64) };
        report({ code: 'claim', where, words: 'A claim on a measure cannot be read.' });
      } else if (claim.output.exercise === atMs && claim.output.atMs >= atMs)
        claims.push({ measure: measure.output, by, atMs: claim.output.atMs });
    }
  return claims;
}

/**
 * Who has each measure: whoever took it first by the server's time, and of two at the same moment the one whose id comes first. Everybody
 * who sees the same documents sees the same.
 */
function ownersOf(claims: readonly Claim[]): Exercise['owners'] {
  const inOrder = [...claims].sort((a, b) => b.atMs - a.atMs || (a.by < b.by ? 1 : -1));
  return Object.fromEntries(inOrder.map(({ measure, by }) => [measure, by]));
}

/** The exercise that a leader has set; undefined while there is none. */
export function readExercise(
  documents: BoardDocuments,
  report: (problem: LeftOut) => void,
): Exercise | undefined {
  const raw = documents.lead.getMap(LEAD.exercise).get('now');
  if (raw === undefined) return undefined;
  const task = v.safeParse(exerciseValue, raw);
  if (task.success)
    return { ...task.output, owners: ownersOf(claimsIn(documents, task.output.atMs, report)) };
  const where = { document: LEAD_DOCUMENT, key: 'exercise' };
  const what = task.issues.map(({ message }) => message).join(' ');
  report({ code: 'exercise', where, words: `An exercise was left out: ${what}` });
  return undefined;
}

/** The name of the exercise that a proposal for a measure belongs to at a time; undefined where it belongs to none. */
export function exerciseAt(
  tune: Pick<Tune, 'parts'>,
  exercise: Exercise | undefined,
  measure: MeasureId,
  nowMs: Ms,
): Ms | undefined {
  if (!exercise || nowMs >= endOf(exercise)) return undefined;
  const isIn = exerciseMeasures(tune, exercise).some(({ id }) => id === measure);
  return isIn ? exercise.atMs : undefined;
}

/** What was put forward in an exercise, in order of arrival. */
export function gatheredIn(
  variants: readonly Variant[],
  { atMs }: ExerciseTask,
): readonly Variant[] {
  return variants.filter(({ exercise }) => exercise === atMs);
}

/** Sets an exercise, or changes the one that is set; undefined puts it away. */
export function writeExercise(lead: Y.Doc, task: ExerciseTask | undefined): void {
  const map = lead.getMap(LEAD.exercise);
  if (!task) {
    map.delete('now');
    return;
  }
  const { family, from, to, atMs, minutes } = task;
  map.set('now', { family, from, to, atMs, minutes });
}

/** Takes a measure in an exercise; claims of earlier ones are let go. */
export function writeClaim(
  said: Y.Doc,
  measure: MeasureId,
  { atMs: exercise }: Pick<ExerciseTask, 'atMs'>,
  nowMs: Ms,
): void {
  const claims = said.getMap(SAID.claims);
  said.transact(() => {
    for (const [key, raw] of [...claims.entries()]) {
      const claim = v.safeParse(claimValue, raw);
      if (!claim.success || claim.output.exercise !== exercise) claims.delete(key);
    }
    claims.set(measure, { exercise, atMs: Math.max(exercise, nowMs) });
  });
}

export function takeBackClaim(said: Y.Doc, measure: MeasureId): void {
  said.getMap(SAID.claims).delete(measure);
}
