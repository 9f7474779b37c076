import type { MeasureId, ParticipantId, VariantId } from '../units';
import type { ElectionRule } from './elect';
import type { Weights } from './weights';

export type ChoiceId = VariantId | 'plain';

/** What can be played in one measure: a variant, or the measure as it is. */
export interface Choice {
  readonly id: ChoiceId;
  /** Who proposed it; absent for the plain measure. */
  readonly author?: ParticipantId;
  /** The embellishment families in it. */
  readonly families: readonly string[];
  /** How many notes it has, whole. */
  readonly busyness: number;
  /** How much of the group's level it takes, in whole points; 0 for plain. */
  readonly load: number;
  /** How risky it is to end on, in whole points. */
  readonly risk: number;
  /** Hidden by the leader: neither elected nor played. */
  readonly hidden?: boolean;
}

/** A measure of the tune with all that may be played in it. */
export interface PlanMeasure {
  readonly id: MeasureId;
  /** In order of proposal; the plain measure stands first. */
  readonly choices: readonly Choice[];
  /** For each person what they approve here; everybody stands in every measure, in the same place. */
  readonly ballots: readonly (readonly string[])[];
}

/** What the leader has decided. Passes count from 1. */
export type Lock =
  | {
      readonly kind: 'cell';
      readonly pass: number;
      readonly measure: MeasureId;
      readonly choice: ChoiceId;
    }
  | { readonly kind: 'plain-pass'; readonly pass: number };

export interface PlanRequest {
  /** In the order in which a pass first meets them. */
  readonly measures: readonly PlanMeasure[];
  /** The measures of one pass in playing order, repeats and endings played out. */
  readonly form: readonly MeasureId[];
  /** How many passes, whole, from 1. */
  readonly passes: number;
  readonly plainFirst: boolean;
  readonly rule: ElectionRule;
  /** Does credit go along from measure to measure? */
  readonly carry: boolean;
  readonly locks: readonly Lock[];
  /** What a pass may ask for at the group's level: the sum of its measures' loads. */
  readonly capacity: number;
  /** What it costs the fretting hand to go on from one to the next, in points; finite, from 0; it is rounded to whole points. */
  readonly joinCost: (
    measureA: MeasureId,
    choiceA: ChoiceId,
    measureB: MeasureId,
    choiceB: ChoiceId,
  ) => number;
  /** `WEIGHTS` unless given. Whole numbers from 0. */
  readonly weights?: Weights;
}
