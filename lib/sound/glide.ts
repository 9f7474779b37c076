/** How quickly a level follows: near enough in three times this. Common practice, no source. */
const GLIDE_SECONDS = 0.015;
/** Closer than this it is there: -100 dB of full level. */
const THERE = 1e-5;

/** A level that is never jumped to. */
export class Glide {
  private readonly pace: number;
  private target: number;

  constructor(
    sampleRate: number,
    private value: number,
  ) {
    this.pace = 1 - Math.exp(-1 / (GLIDE_SECONDS * sampleRate));
    this.target = value;
  }

  /** Where it is to go, at its own pace. */
  goTo(target: number): void {
    this.target = target;
  }

  /** Multiplies in place by the level as it moves. */
  render(samples: Float64Array, from: number, to: number): void {
    const { target, pace } = this;
    let { value } = this;
    for (let i = from; i < to; i += 1) {
      if (value !== target) {
        value += pace * (target - value);
        if (Math.abs(target - value) < THERE) value = target;
      }
      samples[i] = (samples[i] ?? 0) * value;
    }
    this.value = value;
  }
}
