import type { Stroke } from '../tab/measure';

/**
 * What is heard and fingered when, one word a sound. A rest lets ring what rang before, so that it makes no difference.
 */
export function soundsOf(strokes: readonly Stroke[]): readonly string[] {
  return strokes
    .filter(({ by }) => by !== 'rest')
    .map(({ at, by, notes }) => {
      const where = notes.map(({ string, fret }) => `${string}.${fret}`).join('+');
      return `${at}${by}${where}`;
    });
}

/** Two variations with the same key sound and finger the same. */
export function soundKey(strokes: readonly Stroke[]): string {
  return soundsOf(strokes).join(' ');
}

/** Part of the sounds that two variations share, 0 to 1. */
export function sharedSounds(a: readonly string[], b: readonly string[]): number {
  const known = new Set(a);
  const both = b.filter((sound) => known.has(sound)).length;
  const all = known.size + b.length - both;
  return all === 0 ? 1 : both / all;
}
