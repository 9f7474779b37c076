import type { Problem } from '../result';
import type { Ticks } from '../units';
import type { Measure } from './measure';

export type FillProblem = Problem<
  'empty' | 'gap' | 'overlap' | 'too-short' | 'too-long',
  /** Index of the stroke, or undefined where the whole measure is meant. */
  { readonly stroke?: number }
>;

/** A length in slots as players say it: "half a slot", "1 slot", "2 slots". */
function inSlots(ticks: Ticks, slot: Ticks): string {
  const count = ticks / slot;
  if (count === 0.5) return 'half a slot';
  const rounded = Math.round(count * 100) / 100;
  return `${rounded} slot${rounded === 1 ? '' : 's'}`;
}

/** Does the measure add up? All gaps, overlaps and the wrong end, in order; empty when the strokes fill it exactly. */
export function checkFill(measure: Measure): readonly FillProblem[] {
  const { strokes, ticks, meter } = measure;
  if (strokes.length === 0)
    return [
      { code: 'empty', where: {}, words: 'There are no strokes yet. Put a strike on slot 1.' },
    ];
  const problems: FillProblem[] = [];
  let reached: Ticks = 0;
  for (const [stroke, { at, length }] of strokes.entries()) {
    const off = inSlots(Math.abs(at - reached), meter.slot);
    if (at > reached)
      problems.push({
        code: 'gap',
        where: { stroke },
        words: `${off} before stroke ${stroke + 1} ${at - reached > meter.slot ? 'are' : 'is'} empty. Make the stroke before it longer or add a rest.`,
      });
    if (at < reached)
      problems.push({
        code: 'overlap',
        where: { stroke },
        words: `Stroke ${stroke + 1} starts ${off} before the one before it ends. Shorten that one.`,
      });
    reached = Math.max(reached, at + length);
  }
  const last = strokes.length - 1;
  const off = inSlots(Math.abs(reached - ticks), meter.slot);
  if (reached < ticks)
    problems.push({
      code: 'too-short',
      where: { stroke: last },
      words: `The measure is ${off} too short. Make the last stroke longer or add one.`,
    });
  if (reached > ticks)
    problems.push({
      code: 'too-long',
      where: { stroke: last },
      words: `The measure is ${off} too long. Shorten the last stroke or take one away.`,
    });
  return problems;
}
