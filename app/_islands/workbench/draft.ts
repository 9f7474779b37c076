import { problemsOf } from '../../../lib/judge';
import { slotsIn } from '../../../lib/rhythm';
import * as edit from '../../../lib/tab/edit';
import type { By, Measure } from '../../../lib/tab/measure';
import { sameStrokes } from '../../../lib/tab/measure';
import type { Neck } from '../../../lib/tuning';
import { hasFret } from '../../../lib/tuning';
import type { Fret, StringNumber, Ticks } from '../../../lib/units';
import { PUT_FORWARD_ALL } from '../board/sights';

/** Where the hand is in the grid: a slot of the measure (from 0) and a string. */
export interface Spot {
  readonly slot: number;
  readonly string: StringNumber;
}

/** A variant while it is being made, with the way back and forth. No DOM. */
export interface Draft {
  readonly neck: Neck;
  readonly measure: Measure;
  readonly spot: Spot;
  readonly past: readonly Measure[];
  readonly future: readonly Measure[];
  /** The digit that was typed last, so that a second one in the same place makes a fret of two digits. */
  readonly typed?: { readonly spot: Spot; readonly digit: number };
}

export type Act =
  | { readonly kind: 'go'; readonly slots: number; readonly strings: number }
  | { readonly kind: 'pick'; readonly spot: Spot }
  | { readonly kind: 'digit'; readonly digit: number }
  | { readonly kind: 'fret'; readonly fret: Fret }
  | { readonly kind: 'clear' }
  | { readonly kind: 'by'; readonly by: By }
  | { readonly kind: 'length'; readonly slots: number }
  | { readonly kind: 'replace'; readonly measure: Measure }
  | { readonly kind: 'undo' }
  | { readonly kind: 'redo' };

/** Steps that can be taken back. */
const KEPT_STEPS = 200;

export function draftOf(measure: Measure, neck: Neck): Draft {
  const string = measure.strokes[0]?.notes[0]?.string ?? 3;
  return { neck, measure, spot: { slot: 0, string }, past: [], future: [] };
}

function clamp(value: number, low: number, high: number): number {
  return Math.min(high, Math.max(low, value));
}

/** The tick at which a slot of the draft begins, counted from the measure's start. */
export function slotStart(measure: Measure, slot: number): Ticks {
  return slot * measure.meter.slot;
}

/** The stroke that starts in this slot, or undefined. */
export function strokeStartingIn(measure: Measure, slot: number): number | undefined {
  const from = slotStart(measure, slot);
  const index = measure.strokes.findIndex(
    (stroke) => stroke.at >= from && stroke.at < from + measure.meter.slot,
  );
  return index < 0 ? undefined : index;
}

/** The stroke that the spot is in: the one that starts there, else the one that still sounds. */
export function strokeAtSpot(draft: Draft): number | undefined {
  const { measure, spot } = draft;
  return (
    strokeStartingIn(measure, spot.slot) ??
    edit.strokeIndexAt(measure, slotStart(measure, spot.slot))
  );
}

function moved(draft: Draft, slots: number, strings: number): Draft {
  const { measure, spot } = draft;
  const slot = clamp(spot.slot + slots, 0, edit.slotCount(measure) - 1);
  const string = clamp(spot.string + strings, 1, 5) as StringNumber;
  return without({ ...draft, spot: { slot, string } });
}

function without(draft: Draft): Draft {
  const { typed: _, ...rest } = draft;
  return rest;
}

function changed(draft: Draft, measure: Measure): Draft {
  if (sameStrokes(measure.strokes, draft.measure.strokes)) return draft;
  const past = [...draft.past, draft.measure].slice(-KEPT_STEPS);
  const last = edit.slotCount(measure) - 1;
  const spot = draft.spot.slot > last ? { ...draft.spot, slot: last } : draft.spot;
  return without({ ...draft, measure, spot, past, future: [] });
}

/** Where the strokes of this slot start: on it, or the triplet's place between two slots. */
function placeOf(draft: Draft): Ticks {
  const index = strokeStartingIn(draft.measure, draft.spot.slot);
  const stroke = index === undefined ? undefined : draft.measure.strokes[index];
  return stroke?.at ?? slotStart(draft.measure, draft.spot.slot);
}

function withFret(draft: Draft, fret: Fret): Draft {
  const { string } = draft.spot;
  if (!hasFret(draft.neck, string, fret)) return draft;
  return changed(draft, edit.withNote(draft.measure, placeOf(draft), string, fret));
}

/** A digit: the fret, or the second digit of the one that was begun here ("1" on string 5 waits for it: that string has no fret 1). */
function typed(draft: Draft, digit: number): Draft {
  const { spot, neck } = draft;
  const begun = draft.typed?.spot === spot ? draft.typed.digit : 0;
  const both = begun * 10 + digit;
  const two = begun > 0 && hasFret(neck, spot.string, both);
  const next = withFret(draft, two ? both : digit);
  return { ...next, typed: { spot: next.spot, digit: two ? 0 : digit } };
}

function lengthened(draft: Draft, slots: number): Draft {
  const index = strokeAtSpot(draft);
  if (index === undefined) return draft;
  const { measure } = draft;
  return changed(draft, edit.withLength(measure, index, slots * measure.meter.slot));
}

function undone(draft: Draft): Draft {
  const measure = draft.past.at(-1);
  if (!measure) return draft;
  const future = [draft.measure, ...draft.future];
  return moved({ ...draft, measure, past: draft.past.slice(0, -1), future }, 0, 0);
}

function redone(draft: Draft): Draft {
  const [measure, ...future] = draft.future;
  if (!measure) return draft;
  return moved({ ...draft, measure, past: [...draft.past, draft.measure], future }, 0, 0);
}

/** The draft after one act; an act that means nothing there changes nothing. */
export function afterAct(draft: Draft, act: Act): Draft {
  switch (act.kind) {
    case 'go':
      return moved(draft, act.slots, act.strings);
    case 'pick':
      return without({ ...draft, spot: act.spot });
    case 'digit':
      return typed(draft, act.digit);
    case 'fret':
      return withFret(draft, act.fret);
    case 'clear':
      return changed(draft, edit.withoutNote(draft.measure, placeOf(draft), draft.spot.string));
    case 'by':
      return changed(draft, edit.withBy(draft.measure, placeOf(draft), act.by, draft.spot.string));
    case 'length':
      return lengthened(draft, act.slots);
    case 'replace':
      return changed(draft, act.measure);
    case 'undo':
      return undone(draft);
    case 'redo':
      return redone(draft);
  }
}

/** Why the draft cannot be proposed yet, in words; empty when it can. */
export function obstaclesOf(
  draft: Draft,
  plain: Measure,
  proposed: readonly { readonly strokes: Measure['strokes'] }[],
  full = false,
): readonly string[] {
  if (full) return [PUT_FORWARD_ALL];
  const { measure, neck } = draft;
  const problems = problemsOf(measure, neck);
  if (problems.length > 0) return problems.map((problem) => problem.words);
  if (sameStrokes(measure.strokes, plain.strokes))
    return ['This is still the plain measure. Change something to make it a variant.'];
  if (proposed.some((variant) => sameStrokes(variant.strokes, measure.strokes)))
    return ['Somebody has already put this one forward. Approve theirs, or change something.'];
  return [];
}

/** Slots to show: at least those of a full rest of the bar from where the measure starts. */
export function shownSlots(measure: Measure): number {
  const all = measure.ticks / measure.meter.slot;
  return Math.max(Math.min(all, slotsIn(measure.meter)), edit.slotCount(measure));
}
