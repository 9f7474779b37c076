import type { Loop } from './loop';

/** Steps that bring an allpass from rest to where it would be had it always run (its coefficient is at most 0.82: 1e-6). */
const PRIME = 72;

/** Room that a delay line must have beyond the longest loop. */
export const TAP_ROOM = PRIME + 8;

/**
 * One way back from the delay line into itself: read `delay` samples ago, lose, tune. Two taps on one line are a string
 * whose length changes: one fades into the other.
 */
export class Tap {
  readonly delay: number;
  readonly span: number;
  readonly newer: number;
  readonly older: number;
  readonly allpass: number;
  /** The last sample averaged, and the last one given back. */
  averaged = 0;
  given = 0;

  constructor({ delay, span, allpass, gain, average }: Loop) {
    this.delay = delay;
    this.span = span;
    this.newer = gain * (1 - average);
    this.older = gain * average;
    this.allpass = allpass;
  }

  /** The sample that belongs at `at` on the line, whose length is `mask + 1`. */
  step(line: Float64Array, at: number, mask: number): number {
    const from = at - this.delay;
    const averaged =
      this.newer * (line[from & mask] ?? 0) + this.older * (line[(from - this.span) & mask] ?? 0);
    const given = this.allpass * (averaged - this.given) + this.averaged;
    this.averaged = averaged;
    this.given = given;
    return given;
  }

  /** Brings the tap to where it would be at `at` had it run before, so that it can take over without a jump. */
  prime(line: Float64Array, at: number, mask: number): void {
    for (let back = PRIME; back > 0; back -= 1) this.step(line, at - back, mask);
  }

  rest(): void {
    this.averaged = 0;
    this.given = 0;
  }
}
