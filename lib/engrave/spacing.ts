import type { Measure, Stroke } from '../tab/measure';
import type { Ticks } from '../units';
import type { Pitch } from './sizes';
import { halfWidth, SIZES } from './sizes';

/**
 * Length of the picture in ticks: the measure's, or to the end of the slot that its strokes run into where they run past its end (a
 * measure that somebody is still working on is drawn as it is).
 */
export function drawnTicks({ strokes, ticks, meter }: Measure): Ticks {
  const end = strokes.reduce((latest, { at, length }) => Math.max(latest, at + length), 0);
  return end > ticks ? Math.ceil(end / meter.slot) * meter.slot : ticks;
}

/**
 * x of a moment, from the start of the measure. It depends on the meter alone, so that all variants of a measure line up.
 */
export function xAt(measure: Pick<Measure, 'meter'>, at: Ticks, { left, slot }: Pitch): number {
  return left + (at / measure.meter.slot) * slot;
}

/** Half the width of the widest number of a stroke. */
export function halfOf(stroke: Stroke, pitch: Pitch): number {
  return Math.max(halfWidth(0, pitch), ...stroke.notes.map(({ fret }) => halfWidth(fret, pitch)));
}

/** Spreads the strokes between two fixed ones so that none touch; where there is no room for that, they share what there is. */
function spread(wanted: readonly number[], halves: readonly number[]): readonly number[] {
  const last = wanted.length - 1;
  const apart = (i: number) => (halves[i] ?? 0) + (halves[i + 1] ?? 0) + SIZES.betweenFrets;
  const placed = [...wanted];
  for (let i = 1; i < last; i++)
    placed[i] = Math.max(placed[i] ?? 0, (placed[i - 1] ?? 0) + apart(i - 1));
  for (let i = last - 1; i > 0; i--)
    placed[i] = Math.min(placed[i] ?? 0, (placed[i + 1] ?? 0) - apart(i));
  const roomy = placed.every((x, i) => i === 0 || x - (placed[i - 1] ?? 0) >= apart(i - 1) - 1e-9);
  if (roomy) return placed;
  const [first = 0] = wanted;
  const needed = wanted.slice(0, last).map((_, i) => apart(i));
  const total = needed.reduce((sum, each) => sum + each, 0);
  const room = (wanted[last] ?? first) - first;
  return wanted.map(
    (_, i) => first + (room * needed.slice(0, i).reduce((sum, each) => sum + each, 0)) / total,
  );
}

/**
 * x of every stroke, in order. A stroke on a slot stands exactly at its slot; strokes between slots (a triplet, a quick
 * slide) stand where their time falls, moved only as far as their numbers need so as not to touch, and within the picture.
 */
export function strokeXs(measure: Measure, pitch: Pitch): readonly number[] {
  const { strokes, meter } = measure;
  const xs = strokes.map(({ at }) => xAt(measure, at, pitch));
  const halves = strokes.map((stroke) => halfOf(stroke, pitch));
  const end = xAt(measure, drawnTicks(measure), pitch);
  const fixed = strokes.flatMap(({ at }, i) => (at % meter.slot === 0 ? [i] : []));
  for (const [n, from] of [-1, ...fixed].entries()) {
    const to = fixed[n] ?? strokes.length;
    if (to - from < 2) continue;
    const wanted = [xs[from] ?? 0, ...xs.slice(from + 1, to), xs[to] ?? end];
    const room = [halves[from] ?? 0, ...halves.slice(from + 1, to), halves[to] ?? SIZES.lastRoom];
    for (const [i, x] of spread(wanted, room).slice(1, -1).entries()) xs[from + 1 + i] = x;
  }
  return xs;
}
