import type { Result } from '../result';
import { ok } from '../result';
import type { MeasureId } from '../units';
import type { Layout, LayoutPart, StructureProblem } from './layout';
import { LETTERS, MAX_FORM, partCalled, present, presentIn, refuse, timesOf } from './layout';
import { emptyMeasure } from './measures';

type Changed = Result<Layout, StructureProblem>;

function byLetter(parts: readonly LayoutPart[]): readonly LayoutPart[] {
  return [...parts].sort((a, b) => (a.letter < b.letter ? -1 : 1));
}

function renamed(layout: Layout, names: ReadonlyMap<string, string>): Layout {
  const name = (letter: string) => names.get(letter) ?? letter;
  return {
    ...layout,
    parts: byLetter(layout.parts.map((part) => ({ ...part, letter: name(part.letter) }))),
    form: layout.form.map(name),
  };
}

/** The letter after this one, freed by moving on those that stand in the way; undefined where the alphabet ends. */
function withLetterAfter(
  layout: Layout,
  letter: string,
): { readonly layout: Layout; readonly fresh: string } | undefined {
  const used = new Set(layout.parts.map((part) => part.letter));
  const from = LETTERS.indexOf(letter) + 1;
  const free = LETTERS.findIndex((one, i) => i >= from && !used.has(one));
  const fresh = LETTERS[from];
  if (free < 0 || fresh === undefined) return undefined;
  const moves = LETTERS.slice(from, free).map(
    (one, i) => [one, LETTERS[from + i + 1] ?? one] as const,
  );
  return { layout: renamed(layout, new Map(moves)), fresh };
}

const NO_LETTER = 'There are no letters left for another part.';

/** A new part that begins with this measure; it is played right after the part that it was cut from, so a pass stays as it is. */
export function cutPart(layout: Layout, id: MeasureId): Changed {
  const found = present(layout, id);
  if (!found.ok) return found;
  const { letter } = found.value.part;
  const where = { measure: id };
  if (presentIn(found.value.part)[0]?.id === id)
    return refuse('part', `Part ${letter} begins with this measure already.`, where);
  const opened = withLetterAfter(layout, letter);
  if (!opened) return refuse('letter', NO_LETTER, where);
  if (layout.form.length + timesOf(layout, letter) > MAX_FORM)
    return refuse('order', `A pass plays ${MAX_FORM} parts at most, repeats counted.`, where);
  const { layout: made, fresh } = opened;
  const { entries } = found.value.part;
  const { index } = found.value;
  const parts = made.parts.map((part) =>
    part.letter === letter ? { ...part, entries: entries.slice(0, index) } : part,
  );
  return ok({
    ...made,
    parts: byLetter([...parts, { letter: fresh, entries: entries.slice(index) }]),
    form: made.form.flatMap((one) => (one === letter ? [letter, fresh] : [one])),
  });
}

/** A part and the next one as one; only where each is always played right after the other, so a pass stays as it is. */
export function joinParts(layout: Layout, letter: string): Changed {
  const found = partCalled(layout, letter);
  if (!found.ok) return found;
  const used = layout.parts.filter((part) => presentIn(part).length > 0);
  const next = used[used.indexOf(found.value) + 1];
  if (!next) return refuse('part', `Part ${letter} is the last one.`, { part: letter });
  const { form } = layout;
  const follows = form.every((one, i) => one !== letter || form[i + 1] === next.letter);
  const leads = form.every((one, i) => one !== next.letter || form[i - 1] === letter);
  if (!follows || !leads || !form.includes(letter))
    return refuse(
      'part',
      `Part ${next.letter} is not always played right after part ${letter}, so they cannot be one part. Change the order of parts first.`,
      { part: letter },
    );
  const entries = [...found.value.entries, ...next.entries];
  return ok({
    ...layout,
    parts: layout.parts
      .filter((part) => part !== next)
      .map((part) => (part === found.value ? { ...part, entries } : part)),
    form: form.filter((one) => one !== next.letter),
  });
}

export function renamePart(layout: Layout, letter: string, to: string): Changed {
  const found = partCalled(layout, letter);
  if (!found.ok) return found;
  if (letter === to) return ok(layout);
  if (!LETTERS.includes(to))
    return refuse('letter', 'A part is called by one letter from A to Z.', { part: letter });
  if (layout.parts.some((part) => part.letter === to))
    return refuse('letter', `There is a part ${to} already. Take a letter that is free.`, {
      part: letter,
    });
  return ok(renamed(layout, new Map([[letter, to]])));
}

/** A part of one empty measure, played at the end. */
export function addPart(layout: Layout, id: MeasureId): Changed {
  const last = layout.parts.at(-1)?.letter;
  const opened = last === undefined ? { layout, fresh: 'A' } : withLetterAfter(layout, last);
  if (!opened) return refuse('letter', NO_LETTER);
  const measure = emptyMeasure(id, 0, layout.meter.measure);
  const part = { letter: opened.fresh, entries: [{ measure, aside: false }] };
  return ok({ ...layout, parts: [...layout.parts, part], form: [...layout.form, opened.fresh] });
}

/** Lays all measures of a part aside. */
export function removePart(layout: Layout, letter: string): Changed {
  const found = partCalled(layout, letter);
  if (!found.ok) return found;
  return ok({
    ...layout,
    parts: layout.parts.map((part) =>
      part === found.value
        ? { ...part, entries: part.entries.map((entry) => ({ ...entry, aside: true })) }
        : part,
    ),
  });
}

/** The parts that a pass plays, in order. */
export function reorder(layout: Layout, form: readonly string[]): Changed {
  if (form.length === 0)
    return refuse('order', 'Write the parts in the order in which a pass plays them, like AABB.');
  if (form.length > MAX_FORM)
    return refuse('order', `A pass plays ${MAX_FORM} parts at most, repeats counted.`);
  for (const letter of form) {
    const found = partCalled(layout, letter);
    if (!found.ok) {
      const has = layout.parts.filter((part) => presentIn(part).length > 0);
      const letters = has.map((part) => part.letter).join(', ');
      return refuse('order', `There is no part ${letter}. The tune has ${letters}.`, {
        part: letter,
      });
    }
  }
  return ok({ ...layout, form });
}
