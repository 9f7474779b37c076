import { marksOf } from '../tab/marks';
import type { Measure } from '../tab/measure';
import type { Signs } from './frame';
import { frameOf, warningOf } from './frame';
import type { Placed } from './frets';
import { fretGaps, fretNumbers } from './frets';
import type { Box, Picture, Primitive } from './primitives';
import { rhythmOf } from './rhythm';
import { drawnTogether } from './rows';
import { CLOSE, lineOf, SIZES, WIDE } from './sizes';
import { slideGaps, slursOf } from './slurs';
import { drawnTicks, strokeXs, xAt } from './spacing';
import type { BarLeft, BarRight } from './staff';
import { barLines, staffLines } from './staff';

export interface MeasureOptions extends Signs {
  /** At the left edge; 'none' unless given, since the measure before brings its own bar line. */
  readonly barLeft?: BarLeft;
  /** At the right edge; 'single' unless given. */
  readonly barRight?: BarRight;
  /** For reading from a distance: slots and rows stand as near as they can, so that numbers are large on the page. */
  readonly close?: boolean;
  /** Strokes to warn at, by index. */
  readonly warnAt?: readonly number[];
  /** Fingers of the fretting hand (1 to 4) by stroke, in the order of its fretted notes; an open stroke has none. */
  readonly fingers?: ReadonlyMap<number, readonly number[]>;
}

/** A stroke's fingers under it, the lowest string's last. */
function fingersOf(placed: readonly Placed[], fingers: ReadonlyMap<number, readonly number[]>) {
  return placed.flatMap(({ index, x }): readonly Primitive[] => {
    const here = fingers.get(index) ?? [];
    if (here.length === 0) return [];
    const y = SIZES.height + SIZES.fingerText;
    const text = here.join(' ');
    const size = SIZES.fingerText;
    return [{ kind: 'text', role: 'finger', stroke: index, x, y, size, anchor: 'middle', text }];
  });
}

function boxes(xs: readonly number[], width: number): readonly Box[] {
  return xs.map((x, i) => {
    const left = i === 0 ? 0 : ((xs[i - 1] ?? 0) + x) / 2;
    const next = xs[i + 1];
    const right = next === undefined ? width : (x + next) / 2;
    return { x: left, y: 0, width: right - left, height: SIZES.height };
  });
}

/**
 * The picture of one measure of tab. Its staff runs from edge to edge, so that pictures side by side join to one staff, and all
 * pictures are equally tall. Places depend on the meter alone: variants of a measure stand under one another slot by slot.
 * What somebody is still working on (too long, too short, empty) is drawn as it is.
 */
export function engraveMeasure(measure: Measure, options: MeasureOptions = {}): Picture {
  const ticks = drawnTicks(measure);
  const pitch = options.close ? CLOSE : WIDE;
  const width = xAt(measure, ticks, pitch);
  const xs = strokeXs(measure, pitch);
  const marks = marksOf(measure);
  const placed: readonly Placed[] = measure.strokes.map((stroke, index) => ({
    stroke,
    index,
    x: xs[index] ?? 0,
    pitch,
  }));
  const slots = Math.ceil(ticks / measure.meter.slot);
  const areas = boxes(xs, width);
  const view = Math.max(width, xAt(measure, measure.meter.measure, pitch));
  const picture: Picture = {
    width,
    view: { x: measure.startsAt > 0 ? width - view : 0, width: view },
    height: SIZES.height + (options.fingers ? SIZES.fingerRow : 0),
    primitives: [
      ...staffLines(width, [...placed.flatMap(fretGaps), ...slideGaps(placed, marks)]),
      ...barLines(width, options.barLeft ?? 'none', options.barRight ?? 'single'),
      ...frameOf(width, options, (at) => xAt(measure, at, pitch)),
      ...rhythmOf(measure, xs, pitch),
      ...slursOf(placed, marks),
      ...placed.flatMap(fretNumbers),
      ...(options.fingers ? fingersOf(placed, options.fingers) : []),
      ...placed
        .filter(({ index }) => options.warnAt?.includes(index))
        .flatMap((each) => warningOf(each, width, marks[each.index]?.letter === 'T')),
    ],
    places: {
      strokes: areas.map((box, i) => ({ x: xs[i] ?? 0, box })),
      slots: Array.from({ length: slots }, (_, i) => xAt(measure, i * measure.meter.slot, pitch)),
      staff: { top: lineOf(1), bottom: lineOf(5) },
    },
  };
  return options.close ? drawnTogether(picture) : picture;
}
