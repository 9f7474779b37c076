import type { Ms } from '../lib/units';

/** Server time: ms since the Unix epoch with fractions, set once when the process starts, so that it never jumps or goes back. */
export function serverNow(): Ms {
  return performance.timeOrigin + performance.now();
}
