import type { CostParts } from '../../../lib/passes/cost';
import type { Progress } from '../../../lib/passes/order';
import type { ParticipantId } from '../../../lib/units';
import type { Board, Plan } from '../../../shared/board/schema';

/** To the worker: make the passes of this board. */
export interface PlanQuestion {
  readonly number: number;
  readonly board: Board;
}

/** How much of what somebody approves is heard, for the page. */
export interface Heard {
  readonly person: ParticipantId;
  /** From 0 to 1; undefined for somebody who approves nothing. */
  readonly share: number | undefined;
  readonly approved: number;
  readonly played: number;
}

/** Passes that were made, with all that the page says of them. */
export interface MadePasses {
  readonly plan: Plan;
  /** For each pass and measure why it is what it is. */
  readonly why: readonly Readonly<Record<string, string>>[];
  /** Notes in each pass, as one time through plays them. */
  readonly busyness: readonly number[];
  readonly heard: readonly Heard[];
  readonly optimal: boolean;
  /** Points that a better order could save at most, and points in all. */
  readonly gap: number;
  readonly cost: number;
  readonly parts: CostParts;
  readonly unheardFamilies: readonly string[];
}

/** From the worker. */
export type PlanAnswer =
  | { readonly kind: 'progress'; readonly number: number; readonly progress: Progress }
  | { readonly kind: 'made'; readonly number: number; readonly made: MadePasses }
  | { readonly kind: 'contradiction'; readonly number: number; readonly words: readonly string[] };
