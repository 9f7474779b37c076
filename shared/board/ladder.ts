import type { Bpm } from '../../lib/units';

/** How a person works up to speed, round by round. */
export interface Ladder {
  /** Does it get faster by itself? */
  readonly stepUp: boolean;
  /** Beats a minute from one step to the next. */
  readonly step: Bpm;
  /** Clean rounds before a step. */
  readonly rounds: number;
  /** Where it ends. */
  readonly goal: Bpm;
  /** Every second round is silent: the person plays it alone. */
  readonly alternate: boolean;
}

/** From which round on the tempo is counted, and what it was there. */
export interface Rung {
  readonly round: number;
  readonly tempo: Bpm;
}

/** Rounds at one tempo; where every second one is played alone, a round and its echo stay together. */
export function roundsAStep({ rounds, alternate }: Pick<Ladder, 'rounds' | 'alternate'>): number {
  return alternate ? 2 * rounds : rounds;
}

/**
 * The tempo of a round, if all since the rung were clean: one step faster after so many of them, up to the goal. A rung above the goal
 * stays where it is.
 */
export function tempoOf(ladder: Ladder, { round: from, tempo }: Rung, round: number): Bpm {
  if (!ladder.stepUp) return tempo;
  const steps = Math.floor(Math.max(0, round - from) / roundsAStep(ladder));
  return Math.max(tempo, Math.min(ladder.goal, tempo + steps * ladder.step));
}

/** How many rounds it takes from a tempo until all those at the goal are played, each one clean. */
export function roundsToGoal(ladder: Ladder, tempo: Bpm): number {
  const steps = Math.max(0, Math.ceil((ladder.goal - tempo) / ladder.step));
  return (steps + 1) * roundsAStep(ladder);
}

/** Is this round the person's own? The first of two is to be heard. */
export function isAlone({ alternate }: Pick<Ladder, 'alternate'>, round: number): boolean {
  return alternate && round % 2 === 1;
}

/**
 * After a round that was not clean: its tempo once more, counted from the next round that is to be heard.
 * @param round the round that is playing
 */
export function onceMore(ladder: Ladder, rung: Rung, round: number): Rung {
  const next = round + 1;
  const from = ladder.alternate && next % 2 === 1 ? next + 1 : next;
  return { round: from, tempo: tempoOf(ladder, rung, round) };
}
