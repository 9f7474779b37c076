import type { Mix } from '../../../lib/sound/banjo';
import type { Seconds, SoundEvent } from '../../../lib/sound/event';
import type { FromSound, SoundSetup, ToSound } from './messages';
import { PROCESSOR, WORKLET_PATH } from './messages';
import type { Output } from './output';

/** A time from the speaker's own clock that is further behind than this is not believed. */
const FURTHEST: Seconds = 1;

/** The banjo in the audio thread of this browser. */
export class WorkletOutput implements Output {
  readonly silent = false;
  private tick: () => void = () => undefined;

  private constructor(
    private readonly context: AudioContext,
    private readonly node: AudioWorkletNode,
  ) {
    node.port.onmessage = (_: MessageEvent<FromSound>) => this.tick();
    node.connect(context.destination);
  }

  /** Loads the audio thread's script and starts it. Rejects if the browser cannot. */
  static async open(context: AudioContext, mix: Mix): Promise<WorkletOutput> {
    await context.audioWorklet.addModule(WORKLET_PATH);
    const processorOptions: SoundSetup = { mix, events: [] };
    const node = new AudioWorkletNode(context, PROCESSOR, {
      numberOfInputs: 0,
      outputChannelCount: [2],
      processorOptions,
    });
    return new WorkletOutput(context, node);
  }

  now(): Seconds {
    return this.context.currentTime;
  }

  /**
   * The speaker's clock where the browser tells it, else what is made less the latencies that it admits to.
   * Source: Web Audio API 1.1, getOutputTimestamp, baseLatency and outputLatency.
   */
  heard(): Seconds {
    const { context } = this;
    const now = context.currentTime;
    const { contextTime = 0, performanceTime = 0 } = context.getOutputTimestamp();
    const spoken = contextTime + (performance.now() - performanceTime) / 1000;
    if (contextTime > 0 && spoken <= now && spoken > now - FURTHEST) return spoken;
    return now - (context.baseLatency || 0) - (context.outputLatency || 0);
  }

  play(events: readonly SoundEvent[]): void {
    this.send({ kind: 'play', events });
  }

  forget(from: Seconds): void {
    this.send({ kind: 'forget', from });
  }

  setMix(mix: Mix): void {
    this.send({ kind: 'mix', mix });
  }

  stop(): void {
    this.send({ kind: 'stop' });
  }

  onTick(tick: () => void): void {
    this.tick = tick;
  }

  private send(message: ToSound): void {
    this.node.port.postMessage(message);
  }
}
