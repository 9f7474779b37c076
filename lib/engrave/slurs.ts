import type { MarkLetter, StrokeMark } from '../tab/marks';
import type { Placed } from './frets';
import type { Primitive } from './primitives';
import { halfWidth, lineOf, SIZES } from './sizes';
import { halfOf } from './spacing';
import type { Gap } from './staff';

/** A hammer, pull or slide between two numbers on one string. */
interface Joint {
  readonly to: Placed;
  readonly letter: MarkLetter;
  readonly string: Gap['string'];
  /** Right edge of the number it comes from, left edge of the one it goes to. */
  readonly x1: number;
  readonly x2: number;
  /** Where its letter stands: in the middle, or above a note that comes over the bar line. */
  readonly letterX: number;
  /** 1 where the pitch rises, -1 where it falls. */
  readonly rise: 1 | -1;
}

/**
 * The joints of a measure in order. A pluck and a hammer from nowhere have none, since their string did not sound before; a
 * pull or a slide without a note before it comes over the bar line.
 */
function jointsOf(placed: readonly Placed[], marks: readonly StrokeMark[]): readonly Joint[] {
  return placed.flatMap((to): readonly Joint[] => {
    const mark = marks[to.index];
    const [note] = to.stroke.notes;
    const { by } = to.stroke;
    if (!note || mark?.letter === undefined) return [];
    if (by !== 'hammer' && by !== 'pull' && by !== 'slide') return [];
    const from = mark.from === undefined ? undefined : placed[mark.from];
    if (by === 'hammer' && !from) return [];
    const before = from?.stroke.notes.find(({ string }) => string === note.string);
    const x2 = to.x - halfOf(to.stroke, to.pitch);
    const x1 = from ? from.x + halfOf(from.stroke, from.pitch) : Math.max(1, x2 - SIZES.slurStub);
    return [
      {
        to,
        letter: mark.letter,
        string: note.string,
        x1,
        x2,
        letterX: from ? (x1 + x2) / 2 : to.x,
        rise: before && before.fret > note.fret ? -1 : 1,
      },
    ];
  });
}

function isTight({ x1, x2 }: Joint): boolean {
  return x2 - x1 < SIZES.slurTight;
}

/** Where the line of a string is left out because a slide takes its place. */
export function slideGaps(placed: readonly Placed[], marks: readonly StrokeMark[]): readonly Gap[] {
  return jointsOf(placed, marks)
    .filter(({ to }) => to.stroke.by === 'slide')
    .map(({ string, x1, x2 }) => ({ string, x1, x2 }));
}

/** An arc from number to number, over their tops where they stand close together. */
function slur(joint: Joint): Primitive {
  const { to, string } = joint;
  const tight = isTight(joint);
  const y = lineOf(string) - (tight ? SIZES.slurTop : SIZES.slurAway);
  const x1 = Math.max(1, joint.x1 - (tight ? halfWidth(0, to.pitch) / 2 : 0));
  const x2 = joint.x2 + (tight ? halfWidth(0, to.pitch) / 2 : 0);
  return {
    kind: 'path',
    role: 'slur',
    stroke: to.index,
    width: SIZES.slurPen,
    steps: [
      ['M', x1, y],
      ['Q', (x1 + x2) / 2, y - SIZES.slurRise * (tight ? 1.2 : 2), x2, y],
    ],
  };
}

/** The line of the string itself, tilted the way the finger goes. */
function slideLine({ to, string, x1, x2, rise }: Joint): Primitive {
  const y = lineOf(string) + SIZES.slideDrop;
  const tilt = rise * SIZES.slideTilt;
  return {
    kind: 'line',
    role: 'slide',
    stroke: to.index,
    x1: x1 + SIZES.fretRim,
    y1: y + tilt,
    x2: x2 - SIZES.fretRim,
    y2: y - tilt,
    width: SIZES.slidePen,
  };
}

function letter(stroke: number, x: number, y: number, text: string): Primitive {
  return { kind: 'text', role: 'mark', stroke, x, y, size: SIZES.markText, anchor: 'middle', text };
}

/**
 * Slurs with H, P and SL above the staff in the middle of their slur, slides as a tilted line, T below the stem of a dropped
 * thumb.
 */
export function slursOf(
  placed: readonly Placed[],
  marks: readonly StrokeMark[],
): readonly Primitive[] {
  const above = lineOf(1) - SIZES.markAbove;
  const below = lineOf(5) + SIZES.markBelow;
  const joints = jointsOf(placed, marks);
  return [
    ...joints.flatMap((joint) => [
      slur(joint),
      ...(joint.to.stroke.by === 'slide' && !isTight(joint) ? [slideLine(joint)] : []),
      letter(joint.to.index, joint.letterX, above, joint.letter),
    ]),
    ...placed.flatMap(({ stroke, index, x }) => {
      const { letter: text, from } = marks[index] ?? {};
      if (text === 'T') return [letter(index, x, below, text)];
      const alone = stroke.by === 'pluck' || (stroke.by === 'hammer' && from === undefined);
      return text !== undefined && alone ? [letter(index, x, above, text)] : [];
    }),
  ];
}
