import type { Mix } from '../../../lib/sound/banjo';
import type { Seconds } from '../../../lib/sound/event';
import type { Transport } from '../../../lib/transport/transport';
import type { Ms } from '../../../lib/units';
import type { Output } from '../sound/output';
import type { Music } from './heard';
import { heardBetween } from './heard';
import { SoundClock } from './sound-clock';
import type { Wish } from './wish';

/** Sound is laid out so far ahead: longer than a page is busy with something else, and short enough to follow the clock. */
const AHEAD_MS: Ms = 1200;
/** What is due within this time is in the audio thread's hands. */
const SETTLED: Seconds = 0.06;

/** Plays what everybody plays, from this browser's speaker, by the server's time. */
export class Follower {
  private readonly clock = new SoundClock();
  private transport: Transport = { kind: 'stopped' };
  private doneMs: Ms = Number.NEGATIVE_INFINITY;

  constructor(
    private readonly output: Output,
    private readonly now: () => Ms,
    private music: Music,
    private wish: Wish,
  ) {
    output.onTick(() => this.layOut());
  }

  /** From here on this is played. What was laid out is forgotten; what sounds rings on. */
  follow(transport: Transport, music: Music, wish: Wish): void {
    const stops = transport.kind === 'stopped' || wish.music !== this.wish.music;
    this.transport = transport;
    this.music = music;
    this.wish = wish;
    if (stops) this.output.stop();
    else this.output.forget(this.output.now() + SETTLED);
    this.doneMs = this.now() + this.latencyMs() + 1000 * SETTLED;
    this.layOut();
  }

  setMix(mix: Mix): void {
    this.output.setMix(mix);
  }

  end(): void {
    this.transport = { kind: 'stopped' };
    this.output.stop();
  }

  /** How much later something is heard than it is made. */
  private latencyMs(): Ms {
    return 1000 * (this.output.now() - this.output.heard());
  }

  private layOut(): void {
    const nowMs = this.now();
    this.clock.look(this.output.heard(), nowMs);
    const from = Math.max(this.doneMs, nowMs + this.latencyMs());
    const until = nowMs + AHEAD_MS + this.latencyMs();
    if (until <= from) return;
    const heard = heardBetween(this.music, this.transport, this.wish, from, until);
    if (heard.length > 0)
      this.output.play(
        heard.map(({ atMs, event }) => ({ ...event, at: this.clock.audioAt(atMs) })),
      );
    this.doneMs = until;
  }
}
