import type { Seconds } from '../../../lib/sound/event';
import type { Ms } from '../../../lib/units';

/** Looks that are kept: at five a second two seconds' worth. */
const KEPT = 11;
/** Beyond this the two clocks have come apart, and what was seen before is void. */
const APART: Seconds = 0.03;

/**
 * Tells what audio time is heard at a server time. A single look at the speaker's clock is some milliseconds off, since it moves block
 * by block; the middle one of several is not.
 */
export class SoundClock {
  private looks: readonly Seconds[] = [];

  /** @param heard the audio time that is heard at server time `nowMs` */
  look(heard: Seconds, nowMs: Ms): void {
    const ahead = heard - nowMs / 1000;
    const kept = this.looks.length === 0 || Math.abs(ahead - this.middle) < APART;
    this.looks = [...(kept ? this.looks : []), ahead].slice(-KEPT);
  }

  /** The audio time that is heard at a server time. Needs one look before. */
  audioAt(atMs: Ms): Seconds {
    return atMs / 1000 + this.middle;
  }

  private get middle(): Seconds {
    const sorted = [...this.looks].sort((a, b) => a - b);
    return sorted[Math.floor(sorted.length / 2)] ?? 0;
  }
}
