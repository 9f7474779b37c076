import type { Mix } from '../../../lib/sound/banjo';
import type { Ms } from '../../../lib/units';
import { openOutput } from '../sound/open';
import { ClickOutput } from './click-output';
import { Follower } from './follower';
import type { Music } from './heard';
import type { Wish } from './wish';

/** A follower on a context that was woken, and what it cannot do, in words. */
export interface OpenedFollower {
  readonly follower: Follower;
  readonly silence?: string;
}

const CLICK_ONLY =
  'This browser plays the click and the count here, no music: it is too old, or the page did not come over https.';

/** Opens the sound. @param context made from within a touch or a key, as browsers ask */
export async function openFollower(
  context: AudioContext,
  mix: Mix,
  now: () => Ms,
  music: Music,
  wish: Wish,
): Promise<OpenedFollower> {
  if (!context.audioWorklet)
    return {
      follower: new Follower(new ClickOutput(context, mix), now, music, wish),
      silence: CLICK_ONLY,
    };
  const { output, silence } = await openOutput(context, mix);
  const follower = new Follower(output, now, music, wish);
  return silence === undefined ? { follower } : { follower, silence };
}
