import type { Bpm } from '../../../lib/units';
import type { Settings } from './settings';

/** From which round on the tempo is counted, and what it was there. */
export interface Rung {
  readonly round: number;
  readonly tempo: Bpm;
}

type Ladder = Pick<Settings, 'stepUp' | 'step' | 'rounds' | 'goal' | 'alternate'>;

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

/** Is this round the person's own? The first of two is to be heard. */
export function isAlone({ alternate }: Pick<Settings, 'alternate'>, round: number): boolean {
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
