import type { Mix } from '../../../lib/sound/banjo';
import type { Seconds, SoundEvent } from '../../../lib/sound/event';
import type { Output } from '../sound/output';

const TICK_MS = 200;
const CLICK_SECONDS: Seconds = 0.03;
const ACCENT_HZ = 1760;
const BEAT_HZ = 1175;
/** Full level of a click, well below full scale, so that nothing is ever loud by surprise. */
const PEAK = 0.35;

/** Clicks alone, for a browser without an audio thread: one that is old, or whose page did not come over https. */
export class ClickOutput implements Output {
  readonly silent = false;
  private readonly volume: GainNode;
  private laidOut: { readonly at: Seconds; readonly node: OscillatorNode }[] = [];

  constructor(
    private readonly context: AudioContext,
    mix: Mix,
  ) {
    this.volume = context.createGain();
    this.volume.gain.value = levelOf(mix);
    this.volume.connect(context.destination);
  }

  now(): Seconds {
    return this.context.currentTime;
  }

  heard(): Seconds {
    const { currentTime, outputLatency, baseLatency } = this.context;
    return currentTime - (outputLatency || baseLatency || 0);
  }

  play(events: readonly SoundEvent[]): void {
    for (const event of events)
      if (event.kind === 'click') this.click(event.at, event.accent ? ACCENT_HZ : BEAT_HZ);
  }

  forget(from: Seconds): void {
    for (const { at, node } of this.laidOut) if (at >= from) node.stop();
    this.laidOut = this.laidOut.filter(({ at }) => at < from);
  }

  /** It glides, so that a change is never a jump. */
  setMix(mix: Mix): void {
    this.volume.gain.setTargetAtTime(levelOf(mix), this.context.currentTime, 0.05);
  }

  stop(): void {
    this.forget(0);
  }

  onTick(tick: () => void): void {
    setInterval(tick, TICK_MS);
  }

  private click(at: Seconds, hz: number): void {
    const node = this.context.createOscillator();
    const shape = this.context.createGain();
    node.frequency.value = hz;
    shape.gain.setValueAtTime(0, at);
    shape.gain.linearRampToValueAtTime(1, at + 0.002);
    shape.gain.exponentialRampToValueAtTime(0.001, at + CLICK_SECONDS);
    node.connect(shape).connect(this.volume);
    node.start(at);
    node.stop(at + CLICK_SECONDS);
    const entry = { at, node };
    this.laidOut.push(entry);
    node.onended = () => {
      this.laidOut = this.laidOut.filter((other) => other !== entry);
    };
  }
}

function levelOf({ level, click }: Mix): number {
  return PEAK * level * click;
}
