import type { TextMeasure } from './measures';
import type { Section } from './sections';

type NotesOf = (measure: TextMeasure) => unknown;

/** What a section plays, whatever its place in the text; without endings it does not matter how often in a row. */
function content(section: Section, notesOf: NotesOf): string {
  const played = section.measures.map(({ measure, endings }) => {
    const { ticks, chord, chords, told } = measure;
    return { ticks, notes: notesOf(measure), chord, chords, told, endings };
  });
  return JSON.stringify([hasEndings(section) ? section.times : 1, played]);
}

function hasEndings({ measures }: Section): boolean {
  return measures.some(({ endings }) => endings !== undefined);
}

/**
 * Sections that stand under one P: name and are the same note by note as one, with the order in which they are played: A, B, A and B
 * written out one after the other are two parts. Undefined where a name stands for different music, or nothing comes back.
 * @param notesOf what sounds in a measure, where its melody notes do not say all
 */
export function namedOnce(
  sections: readonly Section[],
  notesOf: NotesOf = ({ notes }) => notes,
): { readonly sections: readonly Section[]; readonly order: readonly string[] } | undefined {
  const byName = new Map<string, Section>();
  const order: string[] = [];
  for (const section of sections) {
    const { part, times } = section;
    if (part === undefined || !/^[A-Z]$/.test(part)) return undefined;
    const there = byName.get(part);
    if (there && content(there, notesOf) !== content(section, notesOf)) return undefined;
    const inARow = hasEndings(section) ? 1 : times;
    if (!there) byName.set(part, { ...section, times: times / inARow });
    for (let time = 0; time < inARow; time++) order.push(part);
  }
  return byName.size === sections.length ? undefined : { sections: [...byName.values()], order };
}
