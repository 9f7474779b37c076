import { parseChord } from '../harmony';
import type { Result } from '../result';
import { ok } from '../result';
import { chordFields, chordsOf, MAX_CHORDS } from '../tune';
import type { MeasureId, Ticks } from '../units';
import type { Layout, StructureProblem } from './layout';
import { present, refuse, withEntries } from './layout';

/** Longest chord symbol that a board holds. */
const MAX_SYMBOL = 16;

/** Names the chord that begins at a place in a measure, or takes it away; the others stay. */
export function withChord(
  layout: Layout,
  id: MeasureId,
  at: Ticks,
  symbol: string,
): Result<Layout, StructureProblem> {
  const found = present(layout, id);
  if (!found.ok) return found;
  const { part, entry } = found.value;
  const { measure } = entry;
  const where = { measure: id };
  const name = symbol.trim();
  if (!Number.isInteger(at) || at < 0 || at >= measure.ticks)
    return refuse('chord', 'A chord begins inside its measure.', where);
  const read = name === '' ? undefined : parseChord(name);
  if (read && !read.ok)
    return refuse('chord', read.problems.map(({ words }) => words).join(' '), where);
  const others = chordsOf(measure).filter((one) => one.at !== at);
  if (name.length > MAX_SYMBOL || (name !== '' && others.length >= MAX_CHORDS))
    return refuse('chord', 'That is more than a board holds of chords in a measure.', where);
  const all = name === '' ? others : [...others, { at, symbol: name }];
  const { chord: _, chords: __, ...rest } = measure;
  const made = { ...rest, ...chordFields(all.toSorted((a, b) => a.at - b.at)) };
  const entries = part.entries.map((one) => (one === entry ? { ...entry, measure: made } : one));
  return ok(withEntries(layout, part.letter, entries));
}
