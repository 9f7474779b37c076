import type { Problem } from '../result';
import type { Measure, Stroke } from '../tab/measure';
import type { Neck } from '../tuning';

export const FAMILY_IDS = [
  'hammer-on',
  'pull-off',
  'slide',
  'double-thumb',
  'drop-thumb',
  'added-brush',
  'skip',
  'hammer-from-nowhere',
  'alternate-pull-off',
  'triplet',
  'stopped-hand',
] as const;
export type FamilyId = (typeof FAMILY_IDS)[number];

/** One way to embellish a measure at a place: the whole measure's strokes with it, and what a teacher would say of it. */
export interface Offer {
  readonly strokes: readonly Stroke[];
  /** One sentence: "Strike string 3 open, hammer on to fret 2." */
  readonly words: string;
}

/** Why a family cannot be played at a place, in words, with what would help where something would. */
export type Refusal<Code extends string = string> = Problem<Code, { readonly stroke: number }>;

export interface Answer {
  /** Legal results, the usual one first; none if refused. */
  readonly offers: readonly Offer[];
  /** At least one reason where there is no offer, else empty. */
  readonly refusals: readonly Refusal[];
}

/**
 * One embellishment family. All have this shape; `all.ts` lists them.
 * `apply` takes the measure as it stands (plain or already varied) and the index of the stroke that is to be embellished.
 */
export interface Family {
  readonly id: FamilyId;
  /** As players say it: "hammer-on". */
  readonly name: string;
  /** As tab marks it: "H". */
  readonly letter: string;
  /** What happens, in one sentence. */
  readonly words: string;
  readonly apply: (measure: Measure, stroke: number, neck: Neck) => Answer;
}
