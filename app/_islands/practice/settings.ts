import * as v from 'valibot';
import { MOST_SWING, STRAIGHT } from '../../../lib/sound/time';
import type { Bpm, MeasureId, VariantId } from '../../../lib/units';
import { COUNTS } from '../../../shared/board/lesson';
import { MAX_TEMPO, MIN_TEMPO } from '../../../shared/board/values';

/** What somebody practises and how, as it is kept on their browser for each board. */
const choice = v.variant('kind', [
  v.object({ kind: v.literal('plain') }),
  v.object({ kind: v.literal('pass'), pass: v.pipe(v.number(), v.integer(), v.minValue(1)) }),
  v.object({ kind: v.literal('plan') }),
  v.object({
    kind: v.literal('variant'),
    variant: v.pipe(
      v.string(),
      v.transform((id) => id as VariantId),
    ),
  }),
]);
const measureId = v.pipe(
  v.string(),
  v.transform((id) => id as MeasureId),
);
const stretch = v.variant('kind', [
  v.object({ kind: v.literal('whole') }),
  v.object({ kind: v.literal('part'), letter: v.string() }),
  v.object({ kind: v.literal('measures'), from: measureId, to: measureId }),
]);
const tempo = v.pipe(v.number(), v.minValue(MIN_TEMPO / 3), v.maxValue(MAX_TEMPO));
const settings = v.object({
  choice,
  stretch,
  /** A variant comes right after the plain measure. */
  afterPlain: v.boolean(),
  /** Measures that are plain are left out. */
  changesOnly: v.boolean(),
  loop: v.boolean(),
  tempo,
  stepUp: v.boolean(),
  /** Beats a minute. */
  step: v.pipe(v.number(), v.minValue(1), v.maxValue(20)),
  /** Rounds between two steps. */
  rounds: v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(20)),
  goal: tempo,
  /** Every second round is silent. */
  alternate: v.boolean(),
  melody: v.boolean(),
  drone: v.boolean(),
  leadIn: v.picklist(COUNTS),
  click: v.boolean(),
  accent: v.boolean(),
  /** The beat is counted on the screen. */
  counted: v.boolean(),
  swing: v.pipe(v.number(), v.minValue(STRAIGHT), v.maxValue(MOST_SWING)),
});
export type Settings = Readonly<v.InferOutput<typeof settings>>;

/** Workshops start near 50. Common practice, no source. */
const FIRST_TEMPO: Bpm = 50;
/** A dance's tempo, which a tune may be practised up to whatever is written at its head. Common practice, no source. */
const DANCE_TEMPO: Bpm = 125;

/** The tempos that a tune may be practised at: from a third of its own to its own or a dance's. */
export function tempoRange(tune: Bpm): { readonly low: Bpm; readonly high: Bpm } {
  return { low: Math.ceil(tune / 3), high: Math.max(tune, DANCE_TEMPO) };
}

/** For somebody who has not practised this tune on this browser. */
export function firstSettings(tune: Bpm, part: string | undefined): Settings {
  const { low } = tempoRange(tune);
  return {
    choice: { kind: 'plain' },
    stretch: part === undefined ? { kind: 'whole' } : { kind: 'part', letter: part },
    afterPlain: false,
    changesOnly: false,
    loop: true,
    tempo: Math.max(low, Math.min(FIRST_TEMPO, tune)),
    stepUp: false,
    step: 4,
    rounds: 3,
    goal: tune,
    alternate: false,
    melody: true,
    drone: true,
    leadIn: 'count',
    click: true,
    accent: true,
    counted: true,
    swing: STRAIGHT,
  };
}

/** A kept text as settings, with the tempo held to what the tune allows; undefined where it is none of ours. */
export function settingsFromText(text: string | null, tune: Bpm): Settings | undefined {
  const parsed = v.safeParse(v.pipe(v.string(), v.parseJson(), settings), text);
  if (!parsed.success) return undefined;
  const { low, high } = tempoRange(tune);
  const held = (tempo: Bpm) => Math.min(high, Math.max(low, tempo));
  return { ...parsed.output, tempo: held(parsed.output.tempo), goal: held(parsed.output.goal) };
}
