import type { Hz } from '../units';

/** A second-order filter, its coefficients divided by a0. */
export interface BiquadShape {
  readonly b0: number;
  readonly b1: number;
  readonly b2: number;
  readonly a1: number;
  readonly a2: number;
}

/** Above this part of the sample rate a filter is left out: its bend would be squeezed against the half of it. */
const HIGHEST = 0.45;

/** -300 dB. */
const SETTLED = 1e-15;

const THROUGH: BiquadShape = { b0: 1, b1: 0, b2: 0, a1: 0, a2: 0 };

function normal(
  b: readonly [number, number, number],
  a: readonly [number, number, number],
): BiquadShape {
  const [a0] = a;
  return { b0: b[0] / a0, b1: b[1] / a0, b2: b[2] / a0, a1: a[1] / a0, a2: a[2] / a0 };
}

/**
 * A hill of `db` decibels around `hz`, 0 far from it.
 * Source: R. Bristow-Johnson, Audio EQ Cookbook, peakingEQ (from memory); checked in tests/reference/sound/biquad.test.ts
 */
export function peakShape(sampleRate: number, hz: Hz, q: number, db: number): BiquadShape {
  if (hz > HIGHEST * sampleRate) return THROUGH;
  const w = (2 * Math.PI * hz) / sampleRate;
  const alpha = Math.sin(w) / (2 * q);
  const a = 10 ** (db / 40);
  const cos = -2 * Math.cos(w);
  return normal([1 + alpha * a, cos, 1 - alpha * a], [1 + alpha / a, cos, 1 - alpha / a]);
}

/**
 * Lets through what lies above `hz`, and falls by 12 dB an octave below.
 * Source: R. Bristow-Johnson, Audio EQ Cookbook, HPF (from memory); checked in tests/reference/sound/biquad.test.ts
 */
export function highPassShape(sampleRate: number, hz: Hz, q: number): BiquadShape {
  const w = (2 * Math.PI * hz) / sampleRate;
  const alpha = Math.sin(w) / (2 * q);
  const cos = Math.cos(w);
  const b = (1 + cos) / 2;
  return normal([b, -1 - cos, b], [1 + alpha, -2 * cos, 1 - alpha]);
}

/** A filter with its memory, transposed direct form II. */
export class Biquad {
  private s1 = 0;
  private s2 = 0;

  constructor(private readonly shape: BiquadShape) {}

  /** Filters in place. */
  render(samples: Float64Array, from: number, to: number): void {
    const { b0, b1, b2, a1, a2 } = this.shape;
    let { s1, s2 } = this;
    for (let i = from; i < to; i += 1) {
      const x = samples[i] ?? 0;
      const y = b0 * x + s1;
      s1 = b1 * x - a1 * y + s2;
      s2 = b2 * x - a2 * y;
      samples[i] = y;
    }
    this.s1 = s1;
    this.s2 = s2;
  }

  /** Comes to rest if it is as good as there: numbers near nothing are slow to work with. */
  settle(): void {
    if (Math.abs(this.s1) < SETTLED && Math.abs(this.s2) < SETTLED) this.rest();
  }

  rest(): void {
    this.s1 = 0;
    this.s2 = 0;
  }
}
