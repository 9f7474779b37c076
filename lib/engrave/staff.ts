import type { StringNumber } from '../units';
import { STRINGS } from '../units';
import type { Primitive } from './primitives';
import { lineOf, SIZES } from './sizes';

/** A stretch of a string's line that is left out, from `x1` to `x2`. */
export interface Gap {
  readonly string: StringNumber;
  readonly x1: number;
  readonly x2: number;
}

export type BarLeft = 'none' | 'single' | 'repeat';
export type BarRight = 'none' | 'single' | 'double' | 'repeat' | 'final';

/** The five lines from edge to edge, broken at the gaps. */
export function staffLines(width: number, gaps: readonly Gap[]): readonly Primitive[] {
  return STRINGS.flatMap((string) => {
    const y = lineOf(string);
    const lines: Primitive[] = [];
    let x1 = 0;
    const upTo = (x2: number) => {
      if (x2 > x1)
        lines.push({ kind: 'line', role: 'staff', x1, y1: y, x2, y2: y, width: SIZES.staffLine });
    };
    for (const gap of gaps.filter((g) => g.string === string).sort((a, b) => a.x1 - b.x1)) {
      upTo(gap.x1);
      x1 = Math.max(x1, gap.x2);
    }
    upTo(width);
    return lines;
  });
}

/** A bar line whose middle is at `x`. */
function bar(x: number, width: number): Primitive {
  const reach = SIZES.staffLine / 2;
  return {
    kind: 'line',
    role: 'bar',
    x1: x,
    y1: lineOf(1) - reach,
    x2: x,
    y2: lineOf(5) + reach,
    width,
  };
}

function repeatDots(x: number): readonly Primitive[] {
  return [lineOf(2.5), lineOf(3.5)].map((y) => ({
    kind: 'disc',
    role: 'repeat',
    x,
    y,
    r: SIZES.repeatDot,
  }));
}

/**
 * The bar lines of a measure, from its outer edge inwards. `edge` is the x of that edge and `inwards` 1 at the left side, -1 at
 * the right.
 */
function bars(kind: BarLeft | BarRight, edge: number, inwards: 1 | -1): readonly Primitive[] {
  const { barLine, heavyBar, betweenBars, repeatDot } = SIZES;
  const at = (away: number) => edge + inwards * away;
  const thinAway = heavyBar + betweenBars + barLine / 2;
  switch (kind) {
    case 'none':
      return [];
    case 'single':
      return [bar(at(barLine / 2), barLine)];
    case 'double':
      return [bar(at(barLine / 2), barLine), bar(at(barLine * 1.5 + betweenBars), barLine)];
    case 'final':
      return [bar(at(heavyBar / 2), heavyBar), bar(at(thinAway), barLine)];
    case 'repeat':
      return [
        bar(at(heavyBar / 2), heavyBar),
        bar(at(thinAway), barLine),
        ...repeatDots(at(thinAway + barLine / 2 + betweenBars / 2 + repeatDot)),
      ];
  }
}

/** The bar lines at both ends of a measure of this width. */
export function barLines(width: number, left: BarLeft, right: BarRight): readonly Primitive[] {
  return [...bars(left, 0, 1), ...bars(right, width, -1)];
}
