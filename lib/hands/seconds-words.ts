import type { Ms } from '../units';

const PARTS: readonly (readonly [Ms, string])[] = [
  [1000, 'a second'],
  [750, 'three quarters of a second'],
  [500, 'half a second'],
  [1000 / 3, 'a third of a second'],
  [250, 'a quarter of a second'],
  [200, 'a fifth of a second'],
  [1000 / 6, 'a sixth of a second'],
  [125, 'an eighth of a second'],
  [100, 'a tenth of a second'],
  [1000 / 15, 'a fifteenth of a second'],
  [50, 'a twentieth of a second'],
];

/** A short time as people say it, to the nearest part of a second: "a sixth of a second". Longer ones in half seconds. */
export function secondsWords(ms: Ms): string {
  if (ms >= 1250) return `${Math.round(ms / 500) / 2} seconds`;
  if (ms < 40) return 'no time';
  const ratio = (part: Ms) => Math.abs(Math.log(ms / part));
  return PARTS.reduce((best, part) => (ratio(part[0]) < ratio(best[0]) ? part : best))[1];
}
