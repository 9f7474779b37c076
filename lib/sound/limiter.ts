/**
 * No sample that leaves here is higher than this: -3 dB below full scale, which leaves room for the curve between samples.
 * Common practice, no source.
 */
export const CEILING = 0.7;

/** How far the limiter looks ahead, how quickly it takes hold within that, and how slowly it lets go. Common practice, no source. */
const AHEAD_SECONDS = 0.0015;
const HOLD_SHARE = 1 / 5;
const RELEASE_SECONDS = 0.12;

/**
 * Turns the level down before a peak arrives, so that nothing passes `CEILING`, and back up slowly. What comes out is
 * `delay` samples late; what no peak comes near passes unchanged.
 */
export class Limiter {
  /** Samples by which the output is late. */
  readonly delay: number;
  private readonly waiting: Float64Array;
  private readonly attack: number;
  private readonly release: number;
  private at = 0;
  private peak = CEILING;
  private gain = 1;

  constructor(sampleRate: number) {
    this.delay = Math.ceil(AHEAD_SECONDS * sampleRate);
    this.waiting = new Float64Array(this.delay);
    this.attack = 1 - Math.exp(-1 / (HOLD_SHARE * this.delay));
    this.release = Math.exp(-1 / (RELEASE_SECONDS * sampleRate));
  }

  /** Limits in place. */
  render(samples: Float64Array, from: number, to: number): void {
    const { waiting, delay, attack, release } = this;
    for (let i = from; i < to; i += 1) {
      const coming = samples[i] ?? 0;
      this.peak = Math.max(Math.abs(coming), CEILING, this.peak * release);
      const wanted = CEILING / this.peak;
      // Down at the attack's speed; up no quicker than the peak is forgotten.
      this.gain = wanted < this.gain ? this.gain + attack * (wanted - this.gain) : wanted;
      const now = (waiting[this.at] ?? 0) * this.gain;
      waiting[this.at] = coming;
      this.at = this.at + 1 === delay ? 0 : this.at + 1;
      // The attack is an approach and leaves a last per cent.
      samples[i] = Math.min(CEILING, Math.max(-CEILING, now));
    }
  }

  rest(): void {
    this.waiting.fill(0);
    this.peak = CEILING;
    this.gain = 1;
  }
}
