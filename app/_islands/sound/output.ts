import type { Mix } from '../../../lib/sound/banjo';
import type { Seconds, SoundEvent } from '../../../lib/sound/event';

/** Where sound goes, and the clock it goes by. All times are seconds of that clock. */
export interface Output {
  /** No sound comes out of it: it only keeps the time. */
  readonly silent: boolean;
  /** The latest time that has been made; what is to be played lies after it. */
  now(): Seconds;
  /** What is heard at this moment: earlier than `now`, by the way from the program to the ear. */
  heard(): Seconds;
  play(events: readonly SoundEvent[]): void;
  /** Forgets what is to be played at this time and later. */
  forget(from: Seconds): void;
  setMix(mix: Mix): void;
  /** Silence at once. */
  stop(): void;
  /** Calls back a few times a second while the clock runs. */
  onTick(tick: () => void): void;
}

const TICK_MS = 200;

/** Keeps the time and makes no sound: for a browser that has none to offer, so that the mark still runs. */
export class SilentOutput implements Output {
  readonly silent = true;

  now(): Seconds {
    return performance.now() / 1000;
  }

  heard(): Seconds {
    return this.now();
  }

  play(): void {
    // nothing sounds
  }

  forget(): void {
    // nothing sounds
  }

  setMix(): void {
    // nothing sounds
  }

  stop(): void {
    // nothing sounds
  }

  onTick(tick: () => void): void {
    setInterval(tick, TICK_MS);
  }
}
