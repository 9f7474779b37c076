import * as v from 'valibot';
import type { Mix } from '../../../lib/sound/banjo';

/** What a person has set on this browser for all that is heard. Levels go from 0 to 1. */
export interface Levels {
  readonly level: number;
  readonly click: number;
  /** How fast measures are heard on the board, as a part of the tune's tempo: a third to the whole. */
  readonly speed: number;
}

/** Sound starts low, and raising it is left to the person. */
export const FIRST_LEVELS: Levels = { level: 0.3, click: 0.5, speed: 0.6 };
export const SLOWEST = 1 / 3;

/** Which strings are heard. */
export interface Strings {
  readonly melody: boolean;
  readonly drone: boolean;
}
export const ALL_STRINGS: Strings = { melody: true, drone: true };

export function mixOf({ level, click }: Levels, { melody, drone }: Strings): Mix {
  return { level, click, melody: melody ? 1 : 0, drone: drone ? 1 : 0 };
}

const KEY = 'passround/levels';

const share = v.pipe(v.number(), v.minValue(0), v.maxValue(1));
const kept = v.object({
  level: share,
  click: share,
  speed: v.pipe(v.number(), v.minValue(SLOWEST), v.maxValue(1)),
});

/** A text as it was kept, or the first levels where it is none of ours. */
export function levelsFromText(text: string | null): Levels {
  return v.parse(v.fallback(v.pipe(v.string(), v.parseJson(), kept), FIRST_LEVELS), text);
}

/** Reads what this browser keeps; a private window may keep nothing. */
export function keptLevels(): Levels {
  try {
    return levelsFromText(localStorage.getItem(KEY));
  } catch (error) {
    if (error instanceof DOMException) return FIRST_LEVELS;
    throw error;
  }
}

export function keepLevels(levels: Levels): void {
  try {
    localStorage.setItem(KEY, JSON.stringify(levels));
  } catch (error) {
    if (!(error instanceof DOMException)) throw error;
  }
}
