import type { Mix } from '../../../lib/sound/banjo';
import type { Seconds, SoundEvent } from '../../../lib/sound/event';
import { SoundRenderer } from '../../../lib/sound/render';

/**
 * Events are handed to the renderer so long before they sound: more than it renders ahead and its stop needs (15 ms), and little
 * enough that what comes later can still be forgotten.
 */
const AHEAD: Seconds = 0.04;

/** What the audio thread does: holds what is to be played, hands it on when it is due, and renders. Knows no audio context. */
export class Feed {
  private readonly renderer: SoundRenderer;
  private waiting: SoundEvent[] = [];
  /** How many of `waiting` are handed on. */
  private done = 0;

  /** @param start time of its first sample on the clock that events are timed by */
  constructor(
    private readonly sampleRate: number,
    mix: Mix,
    private readonly start: Seconds = 0,
  ) {
    this.renderer = new SoundRenderer(sampleRate, mix);
  }

  play(events: readonly SoundEvent[]): void {
    this.waiting = [...this.waiting.slice(this.done), ...events].sort((a, b) => a.at - b.at);
    this.done = 0;
  }

  /** Forgets what is to be played at this time and later; what is due within 40 ms may be played all the same. */
  forget(from: Seconds): void {
    this.waiting = this.waiting.slice(this.done).filter(({ at }) => at < from);
    this.done = 0;
  }

  setMix(mix: Mix): void {
    this.renderer.setMix(mix);
  }

  stop(): void {
    this.waiting = [];
    this.done = 0;
    this.renderer.stop();
  }

  /** Time of the next sample. */
  get seconds(): Seconds {
    return this.start + this.renderer.seconds;
  }

  /** Fills `out` with the next samples. */
  render(out: Float32Array): void {
    const until = this.seconds + out.length / this.sampleRate + AHEAD;
    const first = this.done;
    while ((this.waiting[this.done]?.at ?? Number.POSITIVE_INFINITY) < until) this.done += 1;
    if (this.done > first)
      this.renderer.schedule(
        this.waiting
          .slice(first, this.done)
          .map((event) => ({ ...event, at: event.at - this.start })),
      );
    this.renderer.render(out);
  }
}
