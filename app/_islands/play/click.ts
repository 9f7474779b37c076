import { beatsBetween } from '../../../lib/transport/beats';
import type { Timeline } from '../../../lib/transport/timeline';
import type { Transport } from '../../../lib/transport/transport';
import type { Ms } from '../../../lib/units';

/** How far ahead clicks are laid out on the audio clock, and how often that is done. */
const AHEAD_MS: Ms = 400;
const EVERY_MS: Ms = 120;
const CLICK_SECONDS = 0.03;
const ACCENT_HZ = 1320;
const BEAT_HZ = 880;
/** Full level of a click, well below full scale, so that nothing is ever loud by surprise. */
const PEAK = 0.35;

/** The beat from this browser's own speaker, laid out on its audio clock from the server's time. */
export class Click {
  private readonly context = new AudioContext();
  private readonly volume = this.context.createGain();
  private readonly timer: ReturnType<typeof setInterval>;
  private doneMs: Ms;
  private laidOut: OscillatorNode[] = [];
  private transport: Transport = { kind: 'stopped' };

  constructor(
    private readonly now: () => Ms,
    private readonly timeline: Timeline,
    level: number,
  ) {
    this.doneMs = now();
    this.volume.gain.value = level * PEAK;
    this.volume.connect(this.context.destination);
    this.timer = setInterval(() => this.layOut(), EVERY_MS);
  }

  /** Browsers start sound only after a touch or a key. */
  async wake(): Promise<void> {
    await this.context.resume();
  }

  /** From 0 to 1; it glides, so that a change is never a jump. */
  setLevel(level: number): void {
    this.volume.gain.setTargetAtTime(level * PEAK, this.context.currentTime, 0.05);
  }

  follow(transport: Transport): void {
    this.transport = transport;
    for (const click of this.laidOut) click.stop();
    this.laidOut = [];
    this.doneMs = this.now();
    this.layOut();
  }

  async end(): Promise<void> {
    clearInterval(this.timer);
    await this.context.close();
  }

  private layOut(): void {
    const nowMs = this.now();
    const until = nowMs + AHEAD_MS;
    const from = Math.max(this.doneMs, nowMs);
    for (const { atMs, accent } of beatsBetween(this.transport, this.timeline, from, until))
      this.sound(this.context.currentTime + (atMs - nowMs) / 1000, accent ? ACCENT_HZ : BEAT_HZ);
    this.doneMs = Math.max(this.doneMs, until);
  }

  private sound(at: number, hz: number): void {
    const click = this.context.createOscillator();
    const shape = this.context.createGain();
    click.frequency.value = hz;
    shape.gain.setValueAtTime(0, at);
    shape.gain.linearRampToValueAtTime(1, at + 0.002);
    shape.gain.exponentialRampToValueAtTime(0.001, at + CLICK_SECONDS);
    click.connect(shape).connect(this.volume);
    click.start(at);
    click.stop(at + CLICK_SECONDS);
    this.laidOut.push(click);
    click.onended = () => {
      this.laidOut = this.laidOut.filter((other) => other !== click);
    };
  }
}
