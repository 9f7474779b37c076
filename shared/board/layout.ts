import type * as v from 'valibot';
import type * as Y from 'yjs';
import type { Entry, Layout, LayoutPart } from '../../lib/structure/layout';
import { tuneOf } from '../../lib/structure/layout';
import type { Part, PlainMeasure } from '../../lib/tune';
import { readHead } from './head';
import type { Report } from './parsed';
import { read, remembering } from './parsed';
import { LEAD_DOCUMENT } from './roles';
import type { LaidAside, Variant } from './schema';
import { ASIDE_PREFIX, LEAD } from './schema';
import * as values from './values';

/** A measure as it stands in the document, with the number that says where. */
export interface Placed extends Entry {
  readonly part: string;
  readonly place: number;
}

const measures = remembering(values.measureValue);

function measureFrom(
  value: v.InferOutput<typeof values.measureValue>,
  id: PlainMeasure['id'],
): PlainMeasure {
  const { part: _, place: __, chord, chords, endings, ...rest } = value;
  return {
    id,
    ...rest,
    ...(chord === undefined ? {} : { chord }),
    ...(chords === undefined ? {} : { chords }),
    ...(endings === undefined ? {} : { endings }),
  };
}

/** All measures in their order, those that are laid aside too. Were all of them aside, none counts as aside: a tune has music. */
export function placedIn(lead: Y.Doc, report: Report): readonly Placed[] {
  const choice = lead.getMap(LEAD.choice);
  const found: Placed[] = [];
  for (const [key, value] of lead.getMap(LEAD.measures).entries()) {
    const where = { document: LEAD_DOCUMENT, key };
    const id = read(values.measureKey, key, report, 'measure', where);
    const parsed = read(measures, value, report, 'measure', where);
    if (id === undefined || parsed === undefined) continue;
    const { part, place } = parsed;
    const aside = choice.get(ASIDE_PREFIX + id) === true;
    found.push({ part, place, measure: measureFrom(parsed, id), aside });
  }
  found.sort((a, b) => a.place - b.place || (a.measure.id < b.measure.id ? -1 : 1));
  const all = found.some(({ aside }) => !aside)
    ? found
    : found.map((one) => ({ ...one, aside: false }));
  const present = new Set(all.filter(({ aside }) => !aside).slice(0, values.MAX_MEASURES));
  const kept = new Set(all.filter(({ aside }) => aside).slice(0, values.MAX_ASIDE));
  return all.filter((one) => present.has(one) || kept.has(one));
}

/** The parts by letter, as they are edited. */
export function layoutPartsIn(lead: Y.Doc, report: Report): readonly LayoutPart[] {
  const parts = new Map<string, Entry[]>();
  for (const { part, measure, aside } of placedIn(lead, report)) {
    const entries = parts.get(part);
    if (entries) entries.push({ measure, aside });
    else parts.set(part, [{ measure, aside }]);
  }
  return [...parts.entries()]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([letter, entries]) => ({ letter, entries }));
}

/**
 * The order of parts without those that have no measures; where none is left, the parts as they stand. Two leaders at once, one of whom
 * takes a part out while the other has it played twice, leave such an order.
 */
export function playableForm(form: readonly string[], parts: readonly Part[]): readonly string[] {
  const letters = parts.map(({ letter }) => letter);
  const played = form.filter((letter) => letters.includes(letter));
  return played.length > 0 ? played : letters;
}

/** The structure of a board's tune; undefined while the tune's head is not there. */
export function layoutIn(lead: Y.Doc): Layout | undefined {
  const unseen = () => undefined;
  const head = readHead(lead, unseen);
  if (!head) return undefined;
  const parts = layoutPartsIn(lead, unseen);
  const { meter, form } = head;
  const layout = { meter, parts, form };
  return { ...layout, form: playableForm(form, tuneOf(layout).parts) };
}

/** What is laid aside, by part and place, with the variants that wait for it. */
export function laidAsideOf(
  parts: readonly LayoutPart[],
  variants: readonly Variant[],
): readonly LaidAside[] {
  return parts.flatMap(({ letter, entries }) =>
    entries.flatMap(({ measure, aside }, at): readonly LaidAside[] => {
      if (!aside) return [];
      const index = entries.slice(0, at).filter((one) => !one.aside).length;
      const waiting = variants.filter((variant) => variant.measure === measure.id);
      return [{ part: letter, index, measure, variants: waiting }];
    }),
  );
}
