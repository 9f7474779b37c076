import { groupAt } from '../rhythm';
import type { Content } from '../tab/marks';
import { marksOf } from '../tab/marks';
import type { Measure } from '../tab/measure';
import { inBar } from '../tab/measure';
import type { Ticks } from '../units';

/** What a stroke does beyond the plain pattern, or undefined for a plain one. */
function contentAt(measure: Measure, index: number): Content | undefined {
  const stroke = measure.strokes[index];
  const mark = marksOf(measure)[index];
  if (!stroke) return undefined;
  switch (stroke.by) {
    case 'hammer':
      return mark?.from === undefined ? 'hammer from nowhere' : 'hammer-on';
    case 'pull':
      return 'pull-off';
    case 'slide':
      return 'slide';
    case 'pluck':
      return 'alternate-string pull-off';
    case 'chop':
      return 'stopped brush';
    case 'thumb': {
      if (mark?.letter === 'T') return 'drop thumbing';
      const slot = Math.floor(inBar(measure, stroke) / measure.meter.slot);
      const slots = measure.meter.measure / measure.meter.slot;
      const group = groupAt(measure.meter, slot % slots);
      return (slot % slots) - group.first === 1 ? 'double thumbing' : undefined;
    }
    default:
      return undefined;
  }
}

/**
 * For each melody note, what a variation does with it until the next one comes: the embellishments of its strokes, each once.
 * @param melody where the melody's notes begin in the plain measure, ascending
 */
export function contentsByNote(
  measure: Measure,
  melody: readonly Ticks[],
): readonly (readonly Content[])[] {
  return melody.map((at, note) => {
    const until = melody[note + 1] ?? measure.ticks;
    const found = measure.strokes.flatMap((stroke, index) => {
      const content = stroke.at >= at && stroke.at < until ? contentAt(measure, index) : undefined;
      return content === undefined ? [] : [content];
    });
    return [...new Set(found)];
  });
}
