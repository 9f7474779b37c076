import { Feed } from './feed';
import type { FromSound, SoundSetup, ToSound } from './messages';
import { PROCESSOR } from './messages';

/**
 * The audio thread's own names, which TypeScript's library of the page does not have.
 * Source: Web Audio API 1.1, AudioWorkletGlobalScope and AudioWorkletProcessor.
 */
declare const sampleRate: number;
declare const currentFrame: number;
declare class AudioWorkletProcessor {
  readonly port: MessagePort;
}
declare function registerProcessor(
  name: string,
  processor: new (options: { readonly processorOptions: SoundSetup }) => AudioWorkletProcessor,
): void;

/** How often the page is told how far the sound is, in seconds. */
const TELL_EVERY = 0.2;

/** The banjo in the audio thread: this file is an entry of its own, bundled by app/sound/worklet.js/route.ts. */
class BanjoProcessor extends AudioWorkletProcessor {
  private feed: Feed | undefined;
  private readonly early: ToSound[] = [];
  private tellAt = 0;

  constructor(private readonly options: { readonly processorOptions: SoundSetup }) {
    super();
    this.port.onmessage = ({ data }: MessageEvent<ToSound>) => {
      if (this.feed) this.take(this.feed, data);
      else this.early.push(data);
    };
  }

  /** Called for every block of the context from when it is connected. */
  process(_inputs: readonly unknown[], outputs: readonly (readonly Float32Array[])[]): boolean {
    const [left, ...others] = outputs[0] ?? [];
    if (!left) return true;
    this.feed ??= this.started();
    this.feed.render(left);
    for (const other of others) other.set(left);
    if (this.feed.seconds >= this.tellAt) {
      this.tellAt = this.feed.seconds + TELL_EVERY;
      this.port.postMessage({ kind: 'at', seconds: this.feed.seconds } satisfies FromSound);
    }
    return true;
  }

  private started(): Feed {
    const { mix, events } = this.options.processorOptions;
    const feed = new Feed(sampleRate, mix, currentFrame / sampleRate);
    feed.play(events);
    for (const message of this.early) this.take(feed, message);
    return feed;
  }

  private take(feed: Feed, message: ToSound): void {
    switch (message.kind) {
      case 'play':
        feed.play(message.events);
        break;
      case 'forget':
        feed.forget(message.from);
        break;
      case 'mix':
        feed.setMix(message.mix);
        break;
      case 'stop':
        feed.stop();
        break;
    }
  }
}

registerProcessor(PROCESSOR, BanjoProcessor);
