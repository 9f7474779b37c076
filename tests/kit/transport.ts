import { meterNamed } from '../../lib/rhythm';
import type { Timeline } from '../../lib/transport/timeline';
import type { Playing, Position } from '../../lib/transport/transport';

export const CUT = meterNamed('2/2');
/** Two measures of cut time: 3840 ticks, at 60 beats a minute 4 s. */
export const TWO: Timeline = { meter: CUT, starts: [0, 1920], offsets: [0, 0], total: 3840 };
/** A pickup of two slots, a measure, and a last one that the pickup completes. */
export const PICKUP: Timeline = {
  meter: CUT,
  starts: [0, 480, 2400],
  offsets: [1440, 0, 0],
  total: 3840,
};
/** Three passes from 10 s on at 60 beats a minute. */
export const PLAYING: Playing = {
  kind: 'playing',
  legs: [{ kind: 'play', atMs: 10_000, pass: 1, visit: 0, tempo: 60 }],
  lastPass: 3,
};

export function placeWords(position: Position): string {
  switch (position.kind) {
    case 'counting':
      return `count ${position.beat}/${position.of}`;
    case 'playing':
      return `pass ${position.pass} measure ${position.visit} slot ${position.slot}`;
    case 'paused':
      return `waits before pass ${position.pass} measure ${position.visit}`;
    default:
      return position.kind;
  }
}
