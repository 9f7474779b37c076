import type { Bpm, Ms } from '../units';

/** A tempo that changes with every pass. */
export interface Ramp {
  /** Beats a minute more with every pass; less if negative. */
  readonly step: Bpm;
  /** Where it stays. */
  readonly to: Bpm;
}

/** Playing (or waiting) from a measure line on, until the next leg begins. */
export interface Leg {
  /** 'rest': everybody waits before the measure; the rest of the leg says how to go on. */
  readonly kind: 'play' | 'rest';
  /** When the measure `visit` of `pass` begins; before the first leg lies its count-in. */
  readonly atMs: Ms;
  /** Counts from 1. */
  readonly pass: number;
  /** The first measure that is played, as its place in the pass, from 0. */
  readonly visit: number;
  readonly tempo: Bpm;
  readonly ramp?: Ramp;
  /** The pass is played again and again until somebody says otherwise. */
  readonly repeats?: boolean;
}

/** What the leader has set going: one value, replaced whole. Times of day are server milliseconds; passes count from 1. */
export type Transport =
  | { readonly kind: 'stopped' }
  | {
      readonly kind: 'playing';
      /** At least one, in order of time: what is played, and what is set to follow. */
      readonly legs: readonly Leg[];
      /** The pass at whose end everybody finishes; a lifted foot brings it forward. */
      readonly lastPass: number;
      /** Name of what is played, where the board keeps a copy of it. Time does not hang on it. */
      readonly played?: string;
    };

export type Playing = Extract<Transport, { kind: 'playing' }>;

export type Position =
  | { readonly kind: 'stopped' }
  | {
      readonly kind: 'counting';
      /** The beat that is being counted, from 1 to `of`. */
      readonly beat: number;
      readonly of: number;
      readonly untilMs: Ms;
      /** What comes then. */
      readonly pass: number;
      readonly visit: number;
    }
  | {
      readonly kind: 'playing';
      readonly pass: number;
      /** Index in the pass's playing order. */
      readonly visit: number;
      /** Slot in the bar, whole, from 0. */
      readonly slot: number;
      /** Ticks since the start of this measure, not whole. */
      readonly ticks: number;
      readonly tempo: Bpm;
      /** When this pass ends, as things are set now. */
      readonly passEndMs: Ms;
    }
  | { readonly kind: 'paused'; readonly pass: number; readonly visit: number }
  | { readonly kind: 'ended'; readonly pass: number };
