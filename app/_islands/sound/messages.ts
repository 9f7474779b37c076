import type { Mix } from '../../../lib/sound/banjo';
import type { Seconds, SoundEvent } from '../../../lib/sound/event';

/** The processor's name in the audio thread. */
export const PROCESSOR = 'passround-banjo';
/** Where its script is served. */
export const WORKLET_PATH = '/sound/worklet.js';

/** What the page tells the audio thread. Times are seconds of the audio context. */
export type ToSound =
  | { readonly kind: 'play'; readonly events: readonly SoundEvent[] }
  /** Forget what is to be played at this time and later. */
  | { readonly kind: 'forget'; readonly from: Seconds }
  | { readonly kind: 'mix'; readonly mix: Mix }
  /** Silence at once. */
  | { readonly kind: 'stop' };

/** What the audio thread tells the page: how far it is, a few times a second. It comes in a background tab too, where timers do not. */
export interface FromSound {
  readonly kind: 'at';
  readonly seconds: Seconds;
}

/** What the processor is made with. */
export interface SoundSetup {
  readonly mix: Mix;
  /** What is known before it starts: an offline context takes no messages while it renders. */
  readonly events: readonly SoundEvent[];
}
