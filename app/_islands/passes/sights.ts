import { contentsByNote } from '../../../lib/passes/bare-spots';
import type { Content } from '../../../lib/tab/marks';
import { CONTENTS } from '../../../lib/tab/marks';
import { measureOf } from '../../../lib/tune';
import type { MeasureId } from '../../../lib/units';
import { strokesIn } from '../../../shared/board/plan';
import { measuresOf } from '../../../shared/board/plan-to-play';
import type { Board, Plan } from '../../../shared/board/schema';

/** What the page of passes shows, worked out of plain values. */

/** How many cells two plans differ in; all of them where there is no plan yet. */
export function changedCells(before: Plan | undefined, after: Plan): number {
  const rows = Math.max(before?.passes.length ?? 0, after.passes.length);
  let changed = 0;
  for (let pass = 0; pass < rows; pass += 1) {
    const [was, is] = [before?.passes[pass], after.passes[pass]];
    const ids = new Set([...Object.keys(was ?? {}), ...Object.keys(is ?? {})]);
    for (const id of ids) if (was?.[id] !== is?.[id]) changed += 1;
  }
  return changed;
}

/** A melody note with what has been tried on it. */
export interface Spot {
  readonly measure: MeasureId;
  /** Which melody note of its measure, from 1. */
  readonly note: number;
  readonly proposed: ReadonlySet<Content>;
  /** How many passes play each embellishment on it. */
  readonly played: ReadonlyMap<Content, number>;
}

export const SPOT_ROWS: readonly Content[] = CONTENTS;

/** For each melody note of the tune, which embellishments have been proposed and which are played over all passes. */
export function bareSpots(board: Board, plan: Plan | undefined): readonly Spot[] {
  const { meter } = board.tune;
  return measuresOf(board).flatMap((plain) => {
    const contents = (strokes = plain.strokes) =>
      contentsByNote(measureOf(meter, plain, strokes), plain.melody);
    const own = contents();
    const proposals = board.variants
      .filter(({ measure }) => measure === plain.id)
      .map(({ strokes }) => contents(strokes));
    const passes = (plan?.passes ?? []).map((_, pass) =>
      plan ? contents(strokesIn(plan, pass, plain)) : [],
    );
    return plain.melody.map((_, note): Spot => {
      const fresh = (found: readonly (readonly Content[])[]) =>
        (found[note] ?? []).filter((content) => !own[note]?.includes(content));
      const played = new Map<Content, number>();
      for (const pass of passes)
        for (const content of fresh(pass)) played.set(content, (played.get(content) ?? 0) + 1);
      const proposed = new Set(proposals.flatMap(fresh));
      return { measure: plain.id, note: note + 1, proposed, played };
    });
  });
}
