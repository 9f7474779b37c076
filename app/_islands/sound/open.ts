import type { Mix } from '../../../lib/sound/banjo';
import type { Output } from './output';
import { SilentOutput } from './output';
import { WorkletOutput } from './worklet-output';

/** What there is to hear with: sound, or only the time and why. */
export interface Opened {
  readonly output: Output;
  /** Why there is no sound, in words for the person; absent where there is. */
  readonly silence?: string;
}

const NO_WORKLET =
  'This browser makes no sound here: it is too old, or the page did not come over https. The mark runs all the same, so that you can follow it in silence.';
const NOT_LOADED =
  'The sound could not be loaded. The mark runs all the same; load the page again to try once more.';

/** The banjo on a context that was woken, or silence that keeps the time. */
export async function openOutput(context: AudioContext | undefined, mix: Mix): Promise<Opened> {
  if (!context) return { output: new SilentOutput(), silence: NO_WORKLET };
  try {
    return { output: await WorkletOutput.open(context, mix) };
  } catch (error) {
    if (!(error instanceof DOMException)) throw error;
    return { output: new SilentOutput(), silence: NOT_LOADED };
  }
}
