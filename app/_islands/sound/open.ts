import type { Mix } from '../../../lib/sound/banjo';
import type { Ms } from '../../../lib/units';
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

const NOT_AWAKE =
  'The sound does not start: perhaps no speaker is there, or another program holds it. The mark runs all the same; load the page again to try once more.';
/** A speaker that is there starts sooner than this. */
const PATIENCE: Ms = 3000;

/** Is its clock running? Browsers that find no speaker may never say so. */
function awake(context: AudioContext): Promise<boolean> {
  return new Promise((answer) => {
    const tell = () => answer(context.state === 'running');
    context.addEventListener('statechange', tell, { once: true });
    if (context.state === 'running') tell();
    else setTimeout(tell, PATIENCE);
  });
}

/** The banjo on a context that was woken, or silence that keeps the time. */
export async function openOutput(context: AudioContext | undefined, mix: Mix): Promise<Opened> {
  if (!context) return { output: new SilentOutput(), silence: NO_WORKLET };
  try {
    const output = await WorkletOutput.open(context, mix);
    if (await awake(context)) return { output };
    return { output: new SilentOutput(), silence: NOT_AWAKE };
  } catch (error) {
    if (!(error instanceof DOMException)) throw error;
    return { output: new SilentOutput(), silence: NOT_LOADED };
  }
}
