import type { ChordChange, PlainMeasure } from '../tune';
import type { Ticks } from '../units';
import type { Placed } from './frets';
import type { Primitive } from './primitives';
import { lineOf, SIZES } from './sizes';

/** What a sheet prints around a measure. */
export interface Signs {
  /** Chord symbol over the first slot, as players write it. */
  readonly chord?: string;
  /** Chord symbols over later moments of the measure. */
  readonly chords?: readonly ChordChange[];
  /** The times through the part in which it is played, where an ending begins; 'continued' in the measures after that. */
  readonly ending?: readonly number[] | 'continued';
  /** Number of the measure in its part. */
  readonly number?: number;
  /** It differs from what it is compared with: a bracket below. */
  readonly changed?: boolean;
}

/** The chords of a plain measure as signs. */
export function chordSigns({
  chord,
  chords,
}: Pick<PlainMeasure, 'chord' | 'chords'>): Pick<Signs, 'chord' | 'chords'> {
  return {
    ...(chord === undefined ? {} : { chord }),
    ...(chords === undefined ? {} : { chords }),
  };
}

function endingOf(width: number, ending: readonly number[] | 'continued'): readonly Primitive[] {
  const pen = SIZES.barLine;
  const y = SIZES.endingTop;
  if (ending === 'continued')
    return [{ kind: 'line', role: 'ending', x1: 0, y1: y, x2: width, y2: y, width: pen }];
  const left = pen / 2;
  return [
    {
      kind: 'path',
      role: 'ending',
      width: pen,
      steps: [
        ['M', left, y + SIZES.endingHook],
        ['L', left, y],
        ['L', width, y],
      ],
    },
    {
      kind: 'text',
      role: 'ending',
      x: 4,
      y: SIZES.endingBaseline,
      size: SIZES.endingText,
      anchor: 'start',
      text: `${ending.join(', ')}.`,
    },
  ];
}

function changedOf(width: number): Primitive {
  const pen = SIZES.changedPen;
  const y = SIZES.height - pen / 2;
  const hook = y - SIZES.changedHook;
  return {
    kind: 'path',
    role: 'changed',
    width: pen,
    steps: [
      ['M', pen * 2, hook],
      ['L', pen * 2, y],
      ['L', width - pen * 2, y],
      ['L', width - pen * 2, hook],
    ],
  };
}

/** The signs around a measure of this width. @param xOf x of a moment in it */
export function frameOf(
  width: number,
  signs: Signs,
  xOf: (at: Ticks) => number,
): readonly Primitive[] {
  const { chord, chords = [], ending, number, changed } = signs;
  const primitives: Primitive[] = [];
  if (ending !== undefined) primitives.push(...endingOf(width, ending));
  const first = chord === undefined ? [] : [{ at: 0, symbol: chord }];
  for (const { at, symbol } of [...first, ...chords])
    primitives.push({
      kind: 'text',
      role: 'chord',
      x: xOf(at) - SIZES.chordBefore,
      y: SIZES.chordBaseline,
      size: SIZES.chordText,
      anchor: 'start',
      text: symbol,
    });
  if (number !== undefined)
    primitives.push({
      kind: 'text',
      role: 'number',
      x: 1,
      y: lineOf(1) - SIZES.numberAbove,
      size: SIZES.numberText,
      anchor: 'start',
      text: String(number),
    });
  if (changed) primitives.push(changedOf(width));
  return primitives;
}

/**
 * Brackets on both sides of a stroke and a ! below it, beside the T where there is one.
 * @param edge  right edge of the picture, which the bracket of a late stroke does not cross
 */
export function warningOf(
  { index, x }: Placed,
  edge: number,
  hasLetterBelow: boolean,
): readonly Primitive[] {
  const half = SIZES.warningHalf;
  const top = lineOf(1) - SIZES.warningReach;
  const bottom = lineOf(5) + SIZES.warningReach;
  const bracket = (side: 1 | -1): Primitive => {
    const at = Math.min(x + side * half, edge - SIZES.warningPen);
    const hook = at - side * SIZES.warningHook;
    return {
      kind: 'path',
      role: 'warning',
      stroke: index,
      width: SIZES.warningPen,
      steps: [
        ['M', hook, top],
        ['L', at, top],
        ['L', at, bottom],
        ['L', hook, bottom],
      ],
    };
  };
  return [
    bracket(-1),
    bracket(1),
    {
      kind: 'text',
      role: 'warning',
      stroke: index,
      x: Math.min(x + (hasLetterBelow ? SIZES.warningBeside : 0), edge - SIZES.lastRoom - 1),
      y: lineOf(5) + SIZES.markBelow,
      size: SIZES.warningText,
      anchor: 'middle',
      text: '!',
    },
  ];
}
