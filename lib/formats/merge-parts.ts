import type { MelodyPart } from '../melody';

/** Letters of parts in their order. */
const LETTERS = 'ABCDEFGHIJKLMNOPQRSTUVWXYZ';

/**
 * Parts that are the same note by note as one, played where each of them stood: A B C D in which A is B and C is D becomes A A B B. For what
 * was written out without repeats. Parts beyond 26 stay as they are.
 */
export function mergedParts(
  parts: readonly MelodyPart[],
  form: readonly string[],
): { readonly parts: readonly MelodyPart[]; readonly form: readonly string[] } {
  const byContent = new Map<string, MelodyPart>();
  const renamed = new Map<string, string>();
  for (const { letter, measures } of parts) {
    const content = JSON.stringify(measures);
    const same = byContent.get(content);
    const name = same?.letter ?? LETTERS[byContent.size] ?? letter;
    if (!same) byContent.set(content, { letter: name, measures });
    renamed.set(letter, name);
  }
  return {
    parts: [...byContent.values()],
    form: form.map((letter) => renamed.get(letter) ?? letter),
  };
}
