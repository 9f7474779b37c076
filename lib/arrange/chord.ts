import { pitchClass, pitchClassFromName } from '../pitch';
import type { Semitones } from '../units';

/** Semitones above the root by what stands after the letter. Source: common chord symbols, common practice, no source. */
const QUALITIES: readonly (readonly [RegExp, readonly number[]])[] = [
  [/^(maj7|M7|Δ)/, [0, 4, 7, 11]],
  [/^(m7b5|ø)/, [0, 3, 6, 10]],
  [/^(m7|min7|-7)/, [0, 3, 7, 10]],
  [/^(dim|°|o)/, [0, 3, 6]],
  [/^(aug|\+)/, [0, 4, 8]],
  [/^sus2/, [0, 2, 7]],
  [/^(sus4|sus)/, [0, 5, 7]],
  [/^(m6|min6)/, [0, 3, 7, 9]],
  [/^maj/, [0, 4, 7]],
  [/^(m|min|-)/, [0, 3, 7]],
  [/^6/, [0, 4, 7, 9]],
  [/^(7|9|11|13)/, [0, 4, 7, 10]],
  [/^5/, [0, 7]],
];

/**
 * Pitch classes of a chord symbol, root first, or undefined if it names no root. What follows the letter and is not
 * known counts as major; a bass after a slash is left out.
 */
export function chordTones(symbol: string): readonly number[] | undefined {
  const match = /^([A-G][#b]?)([^/]*)/.exec(symbol.replace('♯', '#').replace('♭', 'b'));
  const root = match ? pitchClassFromName(match[1] ?? '') : undefined;
  if (!match || root === undefined) return undefined;
  const steps = QUALITIES.find(([pattern]) => pattern.test(match[2] ?? ''))?.[1] ?? [0, 4, 7];
  return steps.map((step) => (root + step) % 12);
}

const ROOTS = ['C', 'C#', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'] as const;

/** The chord symbol some semitones higher, its quality kept; one that names no root stays as it is. */
export function chordMovedBy(symbol: string, semitones: Semitones): string {
  if (semitones % 12 === 0) return symbol;
  return symbol.replace(/(^|\/)([A-G][#b]?)/g, (_, before: string, name: string) => {
    const root = pitchClassFromName(name) ?? 0;
    return `${before}${ROOTS[pitchClass(root + semitones)]}`;
  });
}
