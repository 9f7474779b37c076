import { parseChord } from '../harmony';
import { pitchClass, pitchClassFromName } from '../pitch';
import type { Semitones } from '../units';

/**
 * Pitch classes of a chord symbol, root first, or undefined if it names no root. Of a kind that is not known, the
 * longest beginning that is: "Gm9" is Gm, "C?" is C. A bass after a slash is left out.
 */
export function chordTones(symbol: string): readonly number[] | undefined {
  const [upper = ''] = symbol.split('/');
  for (let end = upper.length; end > 0; end--) {
    const chord = parseChord(upper.slice(0, end));
    if (chord.ok) return chord.value.tones;
  }
  return undefined;
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
