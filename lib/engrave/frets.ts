import type { Note, Stroke } from '../tab/measure';
import type { Primitive } from './primitives';
import type { Pitch } from './sizes';
import { baselineAt, halfWidth, lineOf, SIZES } from './sizes';
import { halfOf } from './spacing';
import type { Gap } from './staff';

/** The stroke's place in its measure and on the page. */
export interface Placed {
  readonly stroke: Stroke;
  readonly index: number;
  readonly x: number;
  readonly pitch: Pitch;
}

/** Where the lines are left out around the numbers of a stroke. */
export function fretGaps({ stroke, x, pitch }: Placed): readonly Gap[] {
  return stroke.notes.map(({ string, fret }) => {
    const half = (stroke.by === 'chop' ? SIZES.chopArm : halfWidth(fret, pitch)) + SIZES.fretRim;
    return { string, x1: x - half, x2: x + half };
  });
}

function fretNumber({ index, x, pitch }: Placed, { string, fret }: Note): Primitive {
  const isWide = String(fret).length > 1 && halfWidth(fret, pitch) === pitch.mostHalf;
  return {
    kind: 'text',
    role: 'fret',
    stroke: index,
    x,
    y: baselineAt(lineOf(string), SIZES.fretText),
    size: SIZES.fretText,
    anchor: 'middle',
    text: String(fret),
    ...(isWide ? { width: 2 * pitch.mostHalf } : {}),
  };
}

/** The x head of a string that a stopped hand brushes: it has no pitch, so no number. */
function chopHead(index: number, x: number, { string }: Note): Primitive {
  const y = lineOf(string);
  const a = SIZES.chopArm;
  return {
    kind: 'path',
    role: 'chop',
    stroke: index,
    width: SIZES.chopPen,
    steps: [
      ['M', x - a, y - a],
      ['L', x + a, y + a],
      ['M', x - a, y + a],
      ['L', x + a, y - a],
    ],
  };
}

/**
 * A slim arrow beside the numbers of a brush. It points up the page, since the hand falls from string 4 towards string 1,
 * which is the top line.
 */
function brushArrow({ stroke, index, x, pitch }: Placed): readonly Primitive[] {
  const strings = stroke.notes.map(({ string }) => string);
  const away = x - halfOf(stroke, pitch) - SIZES.brushAway;
  const top = lineOf(Math.min(...strings)) - SIZES.space / 2;
  const bottom = lineOf(Math.max(...strings)) + SIZES.space / 2;
  const head = SIZES.brushHead;
  return [
    {
      kind: 'path',
      role: 'brush',
      stroke: index,
      width: SIZES.brushPen,
      steps: [
        ['M', away, bottom],
        ['L', away, top],
        ['M', away - head / 2, top + head],
        ['L', away, top],
        ['L', away + head / 2, top + head],
      ],
    },
  ];
}

/** The numbers of a stroke on their lines, one for each note, stacked for a brush. */
export function fretNumbers(placed: Placed): readonly Primitive[] {
  const { stroke, index, x } = placed;
  if (stroke.by === 'chop') return stroke.notes.map((note) => chopHead(index, x, note));
  const numbers = stroke.notes.map((note) => fretNumber(placed, note));
  return stroke.by === 'brush' ? [...numbers, ...brushArrow(placed)] : numbers;
}
