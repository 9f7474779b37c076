import * as v from 'valibot';
import { FAMILY_IDS } from '../../lib/embellish/family';
import { MODES } from '../../lib/harmony';
import { MAX_PASSES, MIN_PASSES } from '../../lib/passes/limits';
import { pitchClassFromName } from '../../lib/pitch';
import type { MeterName } from '../../lib/rhythm';
import { isMeterName, meterNamed } from '../../lib/rhythm';
import { MAX_FORM, MAX_TUNE } from '../../lib/structure/layout';
import type { Stroke } from '../../lib/tab/measure';
import { parseStrokes } from '../../lib/tab/parse';
import { MAX_CHORDS } from '../../lib/tune';
import type { Tuning } from '../../lib/tuning';
import { MAX_CAPO, neckOf, tuningById } from '../../lib/tuning';
import type { MeasureId, ParticipantId, VariantId } from '../../lib/units';
import { inOneLine } from './one-line';
import { isParticipantId, ROLES } from './roles';
import { MAX_TEMPO, MIN_TEMPO, moment, transportValue } from './transport-value';

/** The shapes of the values that stand in a board's documents. A value that does not fit is left out, never mended; texts are put on one line. */

export const MAX_MEASURES = MAX_TUNE;
/** Measures that are kept aside at most; older than that, nobody puts back. */
export const MAX_ASIDE = 1024;
/** What one person may have put forward at a time: six variants of each measure of a tune of 32. */
export const MAX_VARIANTS = 200;
export const MAX_NAME = 40;
export const MAX_NOTE = 400;
export const MAX_TITLE = 120;
export { MAX_TEMPO, MIN_TEMPO, transportValue };

const text = (max: number) => v.pipe(v.string(), v.maxLength(max), v.transform(inOneLine));
const whole = (low: number, high: number) =>
  v.pipe(v.number(), v.integer(), v.minValue(low), v.maxValue(high));

/** Names of measures are names of fields in plain objects; "constructor" would be found in each of them. */
const measureName = v.pipe(
  v.string(),
  v.regex(/^[A-Za-z0-9_-]{1,24}$/),
  v.check((name) => !(name in Object.prototype), 'no measure can be called that'),
);
export const measureKey = v.pipe(
  measureName,
  v.transform((id) => id as MeasureId),
);
const variantName = v.pipe(v.string(), v.regex(/^[a-z0-9]{12}\.[0-9a-f]{16}$/));
export const variantKey = v.pipe(
  variantName,
  v.transform((id) => id as VariantId),
);
const choice = v.union([v.literal('plain'), variantKey]);

const strokes = v.pipe(
  v.unknown(),
  v.rawTransform<unknown, readonly Stroke[]>(({ dataset, addIssue, NEVER }) => {
    const parsed = parseStrokes(dataset.value);
    if (parsed.ok) return parsed.value;
    addIssue({ message: parsed.problems.map((problem) => problem.words).join(' ') });
    return NEVER;
  }),
);

const partLetter = v.pipe(v.string(), v.regex(/^[A-Z]$/));

const tuning = v.pipe(
  v.string(),
  v.rawTransform<string, Tuning>(({ dataset, addIssue, NEVER }) => {
    const known = tuningById(dataset.value);
    if (known) return known;
    addIssue({ message: `no tuning is called ${dataset.value}` });
    return NEVER;
  }),
);

export const headFields = {
  title: text(MAX_TITLE),
  tuning,
  capo: whole(0, MAX_CAPO),
  drone: whole(0, 12),
  meter: v.pipe(v.custom<MeterName>(isMeterName), v.transform(meterNamed)),
  key: v.object({
    tonic: v.pipe(
      v.string(),
      v.check((name) => pitchClassFromName(name) !== undefined),
    ),
    mode: v.picklist(MODES),
  }),
  tempo: v.pipe(v.number(), v.minValue(MIN_TEMPO), v.maxValue(MAX_TEMPO)),
  form: v.pipe(v.array(partLetter), v.minLength(1), v.maxLength(MAX_FORM)),
};

export const headValue = v.pipe(
  v.object(headFields),
  v.transform(({ tuning: open, capo, drone, ...rest }) => ({
    ...rest,
    neck: neckOf(open, capo, drone),
  })),
);
export type HeadValue = v.InferInput<typeof headValue>;

/** A plain measure; `part` and `place` say where in the tune it stands (ascending `place`, then id). */
export const measureValue = v.object({
  part: partLetter,
  place: v.pipe(v.number(), v.finite()),
  startsAt: whole(0, 1920),
  ticks: whole(1, 1920),
  strokes,
  chord: v.optional(text(16)),
  chords: v.optional(
    v.pipe(v.array(v.object({ at: whole(1, 1920), symbol: text(16) })), v.maxLength(MAX_CHORDS)),
  ),
  melody: v.pipe(v.array(whole(0, 1920)), v.maxLength(48)),
  endings: v.optional(v.pipe(v.array(whole(1, 32)), v.minLength(1), v.maxLength(32))),
});
export type MeasureValue = v.InferInput<typeof measureValue>;

export const passesValue = whole(MIN_PASSES, MAX_PASSES);
export const levelValue = v.picklist([1, 2, 3, 4, 5]);
export const ruleValue = v.picklist(['approvals', 'phragmen', 'equal-shares']);
export const switchValue = v.boolean();
export const passKey = v.pipe(
  v.string(),
  v.regex(/^[1-9]\d?$/),
  v.transform(Number),
  whole(1, MAX_PASSES),
);
export const overruledValue = choice;

/** For each measure what a pass plays there. */
export const passValue = v.record(measureName, choice);

export const planValue = v.object({
  passes: v.pipe(v.array(passValue), v.minLength(MIN_PASSES), v.maxLength(MAX_PASSES)),
  variants: v.record(variantName, v.object({ measure: measureKey, strokes, by: text(MAX_NAME) })),
});

export const pointerValue = v.object({
  measure: measureKey,
  variant: v.exactOptional(variantKey),
});

export const nameValue = v.pipe(text(MAX_NAME), v.trim());

export const proposalValue = v.object({
  measure: measureKey,
  strokes,
  note: v.optional(text(MAX_NOTE), ''),
  exercise: v.exactOptional(moment),
});

/** Longest exercise, minutes: after that a workshop does something else. Source: ours. */
export const MAX_MINUTES = 60;
export const exerciseValue = v.object({
  family: v.picklist(FAMILY_IDS),
  from: measureKey,
  to: measureKey,
  atMs: moment,
  minutes: whole(1, MAX_MINUTES),
});
/** A measure that somebody takes in the exercise that began at `exercise`, since `atMs`. */
export const claimValue = v.object({ exercise: moment, atMs: moment });

export const personValue = v.object({ role: v.picklist(ROLES) });
export const goneValue = v.object({ atMs: moment, back: v.boolean() });
export const renewedValue = v.object({ role: v.picklist(ROLES), atMs: moment });
export const returnedValue = v.object({ atMs: moment, toMs: moment });
export const arrivedValue = whole(0, 1_000_000);
export const participantKey = v.custom<ParticipantId>(isParticipantId);
