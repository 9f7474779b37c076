import type { Fanout } from '../../server/fanout/fanout';

/** What may happen to a message on its way. */
export interface Faults {
  /** Chances from 0 to 1. */
  readonly lost: number;
  readonly doubled: number;
  /** Held back until a later message, so that the order changes. */
  readonly late: number;
}

/** A fan-out whose messages are lost, doubled and late by a seeded chance; the numbers of what was done are for the test to look at. */
export class FaultyFanout implements Fanout {
  readonly done = { lost: 0, doubled: 0, late: 0 };
  /** Nothing is said or heard while this holds, as when the line to Redis is cut. */
  isCut = false;
  private readonly held: (() => void)[] = [];
  private back: () => void = () => undefined;

  constructor(
    private readonly real: Fanout,
    private readonly faults: Faults,
    private readonly random: () => number,
  ) {
    real.onBack(() => {
      if (!this.isCut) this.back();
    });
  }

  listen(topic: string, hear: (message: Uint8Array) => void): () => void {
    return this.real.listen(topic, (message) => {
      if (!this.isCut) hear(message);
    });
  }

  say(topic: string, message: Uint8Array): void {
    if (this.isCut) return;
    const say = () => this.real.say(topic, message);
    if (this.random() < this.faults.lost) this.done.lost += 1;
    else if (this.random() < this.faults.late) {
      this.done.late += 1;
      this.held.push(say);
    } else {
      say();
      if (this.random() < this.faults.doubled) {
        this.done.doubled += 1;
        say();
      }
      for (const late of this.held.splice(0)) late();
    }
  }

  cut(): void {
    this.isCut = true;
  }

  mend(): void {
    this.isCut = false;
    this.back();
  }

  onBack(back: () => void): void {
    this.back = back;
  }

  close(): Promise<void> {
    return this.real.close();
  }
}

/** Numbers from 0 to 1 by a seed. Source: mulberry32, public domain, from memory; any generator would do. */
export function seeded(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}
