import type { Result } from '../result';
import { ok } from '../result';
import type { MeasureId, Ticks } from '../units';
import { assertNever } from '../units';
import { withChord } from './chords';
import { withEndings, withoutPickup, withPickup, withTimes } from './endings';
import type { Layout, StructureProblem } from './layout';
import { checked } from './layout';
import { added, joined, moved, putBack, removed, split, withTicks } from './measures';
import { addPart, cutPart, joinParts, removePart, renamePart, reorder } from './parts';

/** What a leader does to the structure of a tune. New measures bring the ids that they are to have. */
export type StructureChange =
  | {
      readonly kind: 'add';
      readonly beside: MeasureId;
      readonly where: 'before' | 'after';
      /** The same music once more, instead of an empty measure. */
      readonly copy: boolean;
      readonly id: MeasureId;
    }
  | { readonly kind: 'remove'; readonly measure: MeasureId }
  | { readonly kind: 'put-back'; readonly measure: MeasureId }
  | { readonly kind: 'split'; readonly measure: MeasureId; readonly at: Ticks }
  | { readonly kind: 'join'; readonly measure: MeasureId }
  | { readonly kind: 'length'; readonly measure: MeasureId; readonly ticks: Ticks }
  | { readonly kind: 'move'; readonly measure: MeasureId; readonly by: -1 | 1 }
  | { readonly kind: 'times'; readonly measure: MeasureId; readonly times: readonly number[] }
  | {
      readonly kind: 'chord';
      readonly measure: MeasureId;
      /** Ticks from the start of the measure. */
      readonly at: Ticks;
      /** Empty: the chord before it holds on. */
      readonly symbol: string;
    }
  | { readonly kind: 'endings'; readonly measure: MeasureId; readonly ids: readonly MeasureId[] }
  | {
      readonly kind: 'pickup';
      readonly part: string;
      readonly slots: number;
      readonly id: MeasureId;
    }
  | { readonly kind: 'no-pickup'; readonly part: string }
  | { readonly kind: 'cut-part'; readonly measure: MeasureId }
  | { readonly kind: 'join-parts'; readonly part: string }
  | { readonly kind: 'rename-part'; readonly part: string; readonly to: string }
  | { readonly kind: 'add-part'; readonly id: MeasureId }
  | { readonly kind: 'remove-part'; readonly part: string }
  | { readonly kind: 'order'; readonly form: readonly string[] };

function changed(layout: Layout, change: StructureChange): Result<Layout, StructureProblem> {
  switch (change.kind) {
    case 'add':
      return added(layout, change.beside, change.where, change.copy, change.id);
    case 'remove':
      return removed(layout, change.measure);
    case 'put-back':
      return putBack(layout, change.measure);
    case 'split':
      return split(layout, change.measure, change.at);
    case 'join':
      return joined(layout, change.measure);
    case 'length':
      return withTicks(layout, change.measure, change.ticks);
    case 'move':
      return moved(layout, change.measure, change.by);
    case 'times':
      return withTimes(layout, change.measure, change.times);
    case 'chord':
      return withChord(layout, change.measure, change.at, change.symbol);
    case 'endings':
      return withEndings(layout, change.measure, change.ids);
    case 'pickup':
      return withPickup(layout, change.part, change.slots, change.id);
    case 'no-pickup':
      return withoutPickup(layout, change.part);
    case 'cut-part':
      return cutPart(layout, change.measure);
    case 'join-parts':
      return joinParts(layout, change.part);
    case 'rename-part':
      return renamePart(layout, change.part, change.to);
    case 'add-part':
      return addPart(layout, change.id);
    case 'remove-part':
      return removePart(layout, change.part);
    case 'order':
      return reorder(layout, change.form);
    default:
      return assertNever(change);
  }
}

/** A changed structure, with the measures that went out of the tune by it and those that came back. */
export interface Restructured {
  readonly layout: Layout;
  readonly laidAside: readonly MeasureId[];
  readonly cameBack: readonly MeasureId[];
}

function idsIn(layout: Layout, aside: boolean): readonly MeasureId[] {
  return layout.parts.flatMap(({ entries }) =>
    entries.filter((entry) => entry.aside === aside).map(({ measure }) => measure.id),
  );
}

/**
 * The structure after one change, or why it cannot be, in words. What is legal: every time through a part plays something of it, strokes
 * add up, a measure is no longer than its meter, and at least one measure is played. Nothing is ever lost: what goes out is laid aside.
 */
export function restructured(
  layout: Layout,
  change: StructureChange,
): Result<Restructured, StructureProblem> {
  const made = changed(layout, change);
  if (!made.ok) return made;
  const legal = checked(made.value);
  if (!legal.ok) return legal;
  const [aside, present] = [new Set(idsIn(legal.value, true)), new Set(idsIn(legal.value, false))];
  return ok({
    layout: legal.value,
    laidAside: idsIn(layout, false).filter((id) => aside.has(id)),
    cameBack: idsIn(layout, true).filter((id) => present.has(id)),
  });
}
