/**
 * Noise from -1 to 1, the same after the same seed on every machine: whole-number arithmetic only.
 * Source: xorshift, 32 bit, shifts 13, 17, 5 (Marsaglia 2003); checked in tests/reference/sound/noise.test.ts
 */
export class Noise {
  private state: number;

  /** @param seed any whole number but 0 */
  constructor(seed: number) {
    if (!Number.isInteger(seed) || (seed | 0) === 0)
      throw new RangeError(`${seed} cannot seed the noise`);
    this.state = seed | 0;
  }

  /** The next number, 32 bits without sign. */
  bits(): number {
    let x = this.state;
    x ^= x << 13;
    x ^= x >>> 17;
    x ^= x << 5;
    this.state = x;
    return x >>> 0;
  }

  next(): number {
    return this.bits() / 0x80000000 - 1;
  }
}
